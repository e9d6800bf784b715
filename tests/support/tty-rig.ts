import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { TestContext } from 'vitest'
import type { Bend } from '../../server/messages/bends.ts'
import type { BendPage } from '../../server/messages/find.ts'
import type { Job, Sensor, Setup } from '../../server/messages/setup.ts'
import { type Daemon, startDaemon, until } from './daemon.ts'
import { plugIn, type TtyBoard, type TtyBoardOptions } from './tty-board.ts'

const SETUP: Setup = {
  station: 'Bench',
  die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'tty' },
  sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
}
/** Wide enough that no bend of these tests is under, which would turn a pedal press into "again". */
const JOB: Job = {
  part: 'Rail',
  piece: 1,
  bendNumber: 1,
  wantedDeg: 30,
  toleranceDeg: 20,
  operator: 'Test',
}

export interface TtyRig {
  readonly folder: string
  readonly daemon: Daemon
  /** Plugs a board in, by its port's name in the folder. */
  plug(port: string, more: Omit<TtyBoardOptions, 'path' | 'scriptFile'>): Promise<TtyBoard>
  /** The newest bend, once there are so many. */
  bend(count: number): Promise<Bend>
}

export interface TtyRigOptions {
  /** Name of the port in the rig's folder that the daemon opens. */
  readonly port: string
  readonly sensor?: Sensor
  readonly env?: (folder: string) => Readonly<Record<string, string>>
}

/** The real daemon with a set-up and a job, and no board yet; all ends with the test. */
export async function makeTtyRig(
  { onTestFinished }: Pick<TestContext, 'onTestFinished'>,
  { port, sensor = SETUP.sensor, env }: TtyRigOptions,
): Promise<TtyRig> {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-rig-'))
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
  const args = ['--serial', join(folder, port), '--data', join(folder, 'data')]
  const daemon = await startDaemon(args, env?.(folder))
  onTestFinished(async () => void (await daemon.stop()))
  await daemon.send('PUT', '/api/station/setup', { ...SETUP, sensor })
  await daemon.send('PUT', '/api/station/job', JOB)
  let boards = 0
  return {
    folder,
    daemon,
    async plug(name, more) {
      const scriptFile = join(folder, `script-${++boards}.json`)
      const board = await plugIn({ path: join(folder, name), scriptFile, ...more })
      onTestFinished(() => board.unplug())
      return board
    },
    async bend(count) {
      const page = await until(
        () => daemon.get<BendPage>('/api/bends?limit=1'),
        ({ total }) => total >= count,
        { seconds: 90, what: `bend ${count}` },
      )
      return await daemon.get<Bend>(`/api/bends/${page.bends[0]?.id}`)
    },
  }
}
