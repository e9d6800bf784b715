import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, type TestContext } from 'vitest'
import type { BenchMount } from '../../firmware-protocol/bench/mount.ts'
import type { BendTruth } from '../../firmware-protocol/bench/workshop.ts'
import { catalogue } from '../../server/blocks/index.ts'
import { openHistory } from '../../server/history/open.ts'
import type { Bend, BendTrace } from '../../server/messages/bends.ts'
import type { Sensor } from '../../server/messages/sensor.ts'
import { rerun } from '../../server/station/rerun.ts'
import { until } from './daemon.ts'
import { makeTtyRig, type TtyRig } from './tty-rig.ts'

export const SENSOR: Sensor = { mount: 'die', countsPerTurn: 0, direction: 'forward' }
/** The bench's transducer, as its sheet would give it. */
export const PRESSURE = {
  kind: 'pressure',
  zeroCounts: 102,
  fullCounts: 921,
  fullBar: 250,
  letOffBar: 5,
} as const

export interface MountOptions {
  readonly sensor: Partial<Sensor>
  readonly mount: BenchMount
  readonly pressure?: boolean
  readonly switch?: boolean
  /** The operator has one, as a rule. */
  readonly pedal?: boolean
  readonly stopDeg: number
  readonly seed?: number
}

export interface MountRig extends TtyRig {
  /** What really happened at the letting off with this number, from 1, once it has happened. */
  truth(number: number): Promise<BendTruth>
}

/** The real daemon, and a board with its sensor on a mount whose operator bends to one angle over and over. */
export async function makeMountRig(context: TestContext, options: MountOptions): Promise<MountRig> {
  const { sensor, mount, pressure = false, pedal = true, stopDeg, seed = 1 } = options
  const { switch: isSwitch = false } = options
  const rig = await makeTtyRig(context, { port: 'tty', sensor: { ...SENSOR, ...sensor } })
  const truthFile = join(rig.folder, 'truth.jsonl')
  const more = ['--mount', mount, '--truth', truthFile]
  if (pressure) more.push('--pressure')
  if (isSwitch) more.push('--switch')
  if (!pedal) more.push('--no-pedal')
  await rig.plug('tty', { script: { stopsDeg: [stopDeg] }, seed, more })
  const truths = () =>
    existsSync(truthFile)
      ? readFileSync(truthFile, 'utf8')
          .split('\n')
          .filter((line) => line !== '')
          .map((line) => JSON.parse(line) as BendTruth)
      : []
  return {
    ...rig,
    async truth(number) {
      const found = await until(
        async () => truths()[number - 1],
        (truth) => truth !== undefined,
        { seconds: 90, what: `letting off number ${number}` },
      )
      if (found === undefined) throw new Error('there is no such letting off')
      return found
    },
  }
}

/** A bend comes out of its stored lines again, bit for bit; ends the daemon. */
export async function expectSameAgain(
  rig: Pick<TtyRig, 'daemon' | 'folder'>,
  bend: Bend,
): Promise<void> {
  const trace = await rig.daemon.get<BendTrace>(`/api/bends/${bend.id}/trace`)
  await rig.daemon.stop()
  const history = openHistory(join(rig.folder, 'data'))
  const raw = history.raw(bend.id)
  const verified = history.verify()
  history.close()
  if (raw === null) throw new Error('the bend has no lines')
  const again = await rerun(raw, catalogue)
  expect(again.drafts.at(-1)).toMatchObject({
    goes: bend.goes,
    datumDeg: bend.datumDeg,
    closedBy: bend.closedBy,
  })
  expect(again.trace).toEqual(trace)
  expect(verified).toMatchObject({ intact: true })
}
