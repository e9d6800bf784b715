import { mkdtempSync, rmSync } from 'node:fs'
import type { Socket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { TestContext } from 'vitest'
import { makeRandom } from '../../firmware-protocol/bench/random.ts'
import {
  playScript,
  type ScriptedMotion,
  type Segment,
} from '../../firmware-protocol/bench/scripted.ts'
import type { Bend } from '../../server/messages/bends.ts'
import type { BendPage } from '../../server/messages/find.ts'
import type { StationState } from '../../server/messages/live.ts'
import type { Sensor } from '../../server/messages/sensor.ts'
import type { Job, Setup } from '../../server/messages/setup.ts'
import { type Daemon, startDaemon, until } from './daemon.ts'
import { makeTty } from './tty.ts'

/** A sensor's reading has this much noise, degrees, one standard deviation. */
const NOISE_DEG = 0.02

/** A die that is moved as it is told, and the sensor on it. */
export interface ScriptedDie {
  /** Lets time pass; the reading at its end, in degrees without wrap. */
  read(dtS: number): number
  /** Begins to move; what it did before is over. */
  play(segments: readonly Segment[]): void
}

/** @param startDeg What the sensor shows while the die is at rest. */
export function makeDie(startDeg: number, seed = 1): ScriptedDie {
  const random = makeRandom(seed, 'reading')
  let motion: ScriptedMotion = playScript([])
  let at = 0
  return {
    read(dtS) {
      motion.advance(dtS)
      at = motion.angleDeg()
      return startDeg + at + NOISE_DEG * random.normal()
    },
    play(segments) {
      motion = playScript(segments, at)
    },
  }
}

export interface SpeakerSpec {
  readonly rateHz: number
  /** Lines are sent together at the end of each such stretch, as by an adapter's latency timer. */
  readonly burstMs: number
  line(readingDeg: number): string
}

/** A sensor behind a pseudo-terminal that sends a line a reading, from when its port is first opened. */
export async function plugInSensor(
  { onTestFinished }: Pick<TestContext, 'onTestFinished'>,
  path: string,
  die: ScriptedDie,
  { rateHz, burstMs, line }: SpeakerSpec,
) {
  const heard: string[] = []
  let wire: Socket | null = null
  let given = 0
  const startMs = performance.now()
  const timer = setInterval(() => {
    const due = Math.floor(((performance.now() - startMs) / 1000) * rateHz)
    let text = ''
    for (; given < due; given++) text += `${line(die.read(1 / rateHz))}\r\n`
    if (text !== '' && wire !== null) wire.write(text)
  }, burstMs)
  const tty = await makeTty(path, (opened) => {
    wire = opened
    opened.on('data', (chunk) => heard.push(String(chunk)))
    opened.on('close', () => {
      if (wire === opened) wire = null
    })
  })
  onTestFinished(async () => {
    clearInterval(timer)
    await tty.close()
  })
  return { heard, tty }
}

const JOB: Job = {
  part: 'Rail',
  piece: 1,
  bendNumber: 1,
  wantedDeg: 30,
  toleranceDeg: 1,
  operator: 'Test',
}

const setupWith = (sensor: Sensor): Setup => ({
  station: 'Bench',
  die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'dialects' },
  sensor,
})

/** What the die does, and what has to stand in the history. */
export const TAKEN_TO_DEG = 32
export const SPRINGBACK_DEG = 1.2

const BEND: readonly Segment[] = [
  { holdS: 0.5 },
  { moveToDeg: TAKEN_TO_DEG - 3, rateDegPerS: 10 },
  { moveToDeg: TAKEN_TO_DEG, rateDegPerS: 3 },
  { holdS: 1.2 },
  { letOffDeg: SPRINGBACK_DEG, tauS: 0.1 },
  { holdS: 600 },
]

export interface DialectRig {
  readonly folder: string
  readonly daemon: Daemon
  state(): Promise<StationState>
  /** Datum, bend, accept: as one does it who has no pedal. */
  bend(die: ScriptedDie): Promise<Bend>
}

export const makeFolder = ({ onTestFinished }: Pick<TestContext, 'onTestFinished'>): string => {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-dialect-'))
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
  return folder
}

/** The real daemon on a wire that is there already. */
export async function startOn(
  { onTestFinished }: Pick<TestContext, 'onTestFinished'>,
  folder: string,
  args: readonly string[],
  sensor: Sensor,
): Promise<DialectRig> {
  const daemon = await startDaemon([...args, '--data', join(folder, 'data')])
  onTestFinished(async () => void (await daemon.stop()))
  await daemon.send('PUT', '/api/station/setup', setupWith(sensor))
  await daemon.send('PUT', '/api/station/job', JOB)
  const state = () => daemon.get<StationState>('/api/station')
  const act = async (name: string) => {
    const { status, body } = await daemon.send('POST', '/api/station/act', { act: name })
    if (status !== 200) throw new Error(`${name}: ${JSON.stringify(body)}`)
  }
  const phase = (wanted: string) =>
    until(state, (now) => now.phase === wanted, { seconds: 40, what: `the phase ${wanted}` })
  return {
    folder,
    daemon,
    state,
    async bend(die) {
      await until(state, ({ link }) => link.state === 'live' && link.counters.samples > 60, {
        seconds: 30,
        what: 'readings',
      })
      // The rhythm of the lines is known after a second.
      await new Promise((resolve) => setTimeout(resolve, 1500))
      await act('datum')
      await phase('seated')
      die.play(BEND)
      await phase('settled')
      await new Promise((resolve) => setTimeout(resolve, 1500))
      await act('accept')
      const page = await until(
        () => daemon.get<BendPage>('/api/bends?limit=1'),
        ({ total }) => total >= 1,
        { seconds: 30, what: 'a recorded bend' },
      )
      return await daemon.get<Bend>(`/api/bends/${page.bends[0]?.id}`)
    },
  }
}
