import { ARM, type ArmSpec, RATCHET_ARM } from './arm.ts'
import type { Board, BoardReading } from './board.ts'
import type { Motion } from './motion.ts'
import { makeTransducer, TRANSDUCER, type TransducerSpec } from './pressure.ts'
import { makeRandom } from './random.ts'
import { ENCODER, makeSensor, type SensorSpec } from './sensor.ts'
import { makeTiltSensor, TILT_SENSOR, type TiltSpec } from './tilt-sensor.ts'

/** Where the bench's sensor sits. The free leg of its tube turns as the die does. */
export const BENCH_MOUNTS = [
  'die',
  'arm',
  'ratchet-arm',
  'swing-tilt',
  'arm-tilt',
  'leg-tilt',
] as const
export type BenchMount = (typeof BENCH_MOUNTS)[number]

export interface MountSpec {
  readonly mount?: BenchMount
  readonly sensor?: Partial<SensorSpec>
  readonly tilt?: Partial<TiltSpec>
  /** A second channel with the ram's pressure; only an encoder's lines carry one. */
  readonly pressure?: Partial<TransducerSpec> | null
  /** In its place a switch that closes as soon as the tube bears. */
  readonly switch?: boolean
}

/** The weakest spring that does not close in the slack, where friction takes 1.5 bar. */
const SWITCH_BAR = 3

const isTilt = (mount: BenchMount) => mount.endsWith('tilt')
const isArm = (mount: BenchMount) => mount.includes('arm')

/** The arm of a mount; one on the die or the tube has an arm as well, which nobody sees. */
export const armOf = (mount: BenchMount = 'die'): ArmSpec =>
  mount === 'ratchet-arm' ? RATCHET_ARM : ARM

/** Where an incremental encoder happens to stand when it is switched on: so that zero is never zero. */
const POWER_UP_DEG = { low: -20, high: 20 }
/** An accelerometer is stuck on somehow. */
const STUCK_ON_DEG = { low: -40, high: 40 }

interface Mounted {
  readonly board: Pick<Board['spec'], 'sensor' | 'countsPerTurn'>
  read(): BoardReading
  /** Of the encoder, for a pedal's edge. */
  counts(): number
}

/** Puts the sensor of a mount on a motion. */
export function mountSensor(seed: number, spec: MountSpec, motion: Motion): Mounted {
  const { mount = 'die' } = spec
  return isTilt(mount) ? mountTilt(seed, spec, motion) : mountEncoder(seed, spec, motion)
}

/** What the sensor turns with. */
const turnOf =
  ({ mount = 'die' }: MountSpec, motion: Motion) =>
  () =>
    isArm(mount) && motion.armDeg ? motion.armDeg() : motion.angleDeg()

function mountTilt(seed: number, given: MountSpec, motion: Motion): Mounted {
  const zeroDeg = makeRandom(seed, 'stuck-on').between(STUCK_ON_DEG.low, STUCK_ON_DEG.high)
  const spec: TiltSpec = { ...TILT_SENSOR, zeroDeg, ...given.tilt }
  const read = makeTiltSensor(spec, makeRandom(seed, 'sensor'))
  const turnDeg = turnOf(given, motion)
  return {
    board: { sensor: 'accelerometer', countsPerTurn: spec.countsPerG },
    read: () => read(turnDeg()),
    counts: () => 0,
  }
}

function mountEncoder(seed: number, spec: MountSpec, motion: Motion): Mounted {
  const { pressure = null, switch: isSwitch = false } = spec
  const zeroDeg = makeRandom(seed, 'power-up').between(POWER_UP_DEG.low, POWER_UP_DEG.high)
  const sensor: SensorSpec = { ...ENCODER, zeroDeg, ...spec.sensor }
  const read = makeSensor(sensor, makeRandom(seed, 'sensor'))
  const transducer =
    pressure && makeTransducer({ ...TRANSDUCER, ...pressure }, makeRandom(seed, 'pressure'))
  const turnDeg = turnOf(spec, motion)
  const counts = () => read(turnDeg())
  const secondOf = (bar: number): number | null =>
    transducer?.(bar) ?? (isSwitch ? Number(bar > SWITCH_BAR) : null)
  const { kind, countsPerTurn } = sensor
  return {
    board: { sensor: kind, countsPerTurn },
    read: () => ({ counts: counts(), second: secondOf(motion.pressureBar?.() ?? 0) }),
    counts,
  }
}
