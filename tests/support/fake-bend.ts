import type { Cue, Phase } from '../../server/messages/live.ts'
import type { Job, Setup } from '../../server/messages/setup.ts'

/** The invented boat-rail shop of the demonstration. */
export const SHOP_SETUP: Setup = {
  station: 'Bench bender',
  die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'RT-2207' },
  sensor: { mount: 'die', countsPerTurn: 16_384, direction: 'forward' },
}

export const SHOP_JOB: Job = {
  part: 'Boarding rail BR-5',
  piece: 1,
  bendNumber: 1,
  wantedDeg: 90,
  toleranceDeg: 0.5,
  operator: 'Bench',
}

/** When each phase of one go ends, seconds from the moment the tube is taken off the rack. */
export const ENDS_S = {
  'no-datum': 1,
  seated: 2,
  bending: 8,
  held: 8.6,
  'letting-off': 9.3,
  settled: 12,
} as const satisfies Record<Phase, number>

export const PHASE_ORDER = Object.keys(ENDS_S) as Phase[]

export interface GoPlan {
  /** When this go's own second 0 after the datum was, seconds from the datum. */
  readonly beganS: number
  /** Where the tube stands when this go begins: 0 for a first go. */
  readonly fromDeg: number
  readonly commandedDeg: number
  readonly peakDeg: number
  readonly releasedDeg: number
}

export interface Moment {
  readonly phase: Phase
  readonly cue: Cue
  readonly angleDeg: number
}

const SLACK_DEG = -3
const EASE_WITHIN_DEG = 8
const STOP_WITHIN_DEG = 0.4

const smooth = (x: number) => x * x * (3 - 2 * x)

export function phaseAt(goS: number): Phase {
  return PHASE_ORDER.find((phase) => goS < ENDS_S[phase]) ?? 'settled'
}

function angleAt(phase: Phase, goS: number, plan: GoPlan): number {
  const { fromDeg, peakDeg, releasedDeg } = plan
  const along = (from: Phase, to: Phase) => (goS - ENDS_S[from]) / (ENDS_S[to] - ENDS_S[from])
  if (phase === 'no-datum') return SLACK_DEG * (1 - goS)
  if (phase === 'seated') return fromDeg
  if (phase === 'bending') return fromDeg + (peakDeg - fromDeg) * smooth(along('seated', 'bending'))
  if (phase === 'held') return peakDeg
  if (phase === 'letting-off')
    return peakDeg + (releasedDeg - peakDeg) * smooth(along('held', 'letting-off'))
  return releasedDeg
}

function cueAt(phase: Phase, angleDeg: number, commandedDeg: number): Cue {
  if (phase !== 'bending' && phase !== 'held') return 'none'
  const toGoDeg = commandedDeg - angleDeg
  if (toGoDeg > EASE_WITHIN_DEG) return 'bend'
  if (toGoDeg > STOP_WITHIN_DEG) return 'ease'
  return toGoDeg > -STOP_WITHIN_DEG ? 'stop' : 'over'
}

/** Where a go stands `goS` seconds after it began: phase, cue and angle without noise. */
export function momentAt(goS: number, plan: GoPlan): Moment {
  const phase = phaseAt(goS)
  const angleDeg = angleAt(phase, goS, plan)
  return { phase, cue: cueAt(phase, angleDeg, plan.commandedDeg), angleDeg }
}

/** Numbers in [0, 1) that are the same every time: a linear congruential generator. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    // Multiplier and increment of the generator in "Numerical Recipes", quoted from memory.
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
    return state / 2 ** 32
  }
}
