import tQuantile from '@stdlib/stats-base-dists-t-quantile'
import { whyAimed } from './aim-why.ts'
import { DomainError } from './errors.ts'
import {
  type Coefficients,
  coefficientsOf,
  type SpringbackModel,
  springbackAtDeg,
  springbackOfNext,
} from './springback.ts'
import { predictSpringback } from './springback-prediction.ts'

/** Where to stop, and what will then remain. Degrees from the datum. */
export interface Aim {
  readonly commandedDeg: number
  readonly springbackDeg: number
  /** 95 % interval of where the tube will stand. */
  readonly lowDeg: number
  readonly highDeg: number
  readonly bendsLearned: number
  readonly why: string
}

/** There is no angle to stop at; `why` says so in one sentence. */
export interface NoAim {
  readonly commandedDeg: null
  readonly why: string
}

export interface AimOptions {
  /**
   * Loss of a degree over, against that of a degree under, 0.01 to 100. At 1 (the default) over and
   * under are as likely; at r the tube stands over with probability 1/(1 + r).
   */
  readonly overToUnderLoss?: number
  /** Farthest the bender goes, degrees. Without one: a full turn. */
  readonly maximumDeg?: number
}

const FULL_TURN_DEG = 360

/**
 * From here on no aim is given. At b = 0.5 one per cent of error in b is one per cent of the loaded
 * angle, and beyond it more: the answer would be the yield stress's error, enlarged.
 */
export const NO_SET_SLOPE = 0.5

export const NO_SET_SENTENCE =
  'This tube will not take a set on this radius: it hardly yields and springs back most of the way.'

const pastMaximum = (maximumDeg: number) =>
  `This bend would have to be taken past ${maximumDeg}°, farther than the bender goes.`

/** Why there is no angle to stop at, of a tube with this slope on a bender that goes so far. Degrees. */
export const whyNoAim = ({ slope }: Pick<Coefficients, 'slope'>, maximumDeg = FULL_TURN_DEG) =>
  slope < NO_SET_SLOPE ? pastMaximum(maximumDeg) : NO_SET_SENTENCE

function checkAngles(wantedDeg: number, maximumDeg: number): void {
  if (!(wantedDeg > 0 && wantedDeg <= 360)) throw new DomainError('WANTED_ANGLE', { wantedDeg })
  if (!(maximumDeg > 0 && maximumDeg <= 360)) throw new DomainError('MAXIMUM_ANGLE', { maximumDeg })
}

/**
 * The loaded angle between wanted and maximum that leaves `wantedDeg`; null when there is none.
 * Never less than the wanted angle: a tube does not bend on when it is let off.
 */
function solve(
  leftDeg: (loadedDeg: number) => number,
  wantedDeg: number,
  maximumDeg: number,
): number | null {
  if (!(leftDeg(maximumDeg) >= wantedDeg)) return null
  let lowDeg = wantedDeg
  let highDeg = maximumDeg
  // Each step halves at most 360°; sixty reach the last bit of a double.
  for (let step = 0; step < 60; step++) {
    const middleDeg = (lowDeg + highDeg) / 2
    if (leftDeg(middleDeg) < wantedDeg) lowDeg = middleDeg
    else highDeg = middleDeg
  }
  return highDeg
}

/**
 * Angle to load to so that `wantedDeg` remains, for known coefficients; null when the tube takes no
 * set or would have to be taken past `maximumDeg`.
 *
 * @throws DomainError `WANTED_ANGLE`, `MAXIMUM_ANGLE`
 */
export function loadedForDeg(
  coefficients: Coefficients,
  wantedDeg: number,
  maximumDeg = FULL_TURN_DEG,
): number | null {
  checkAngles(wantedDeg, maximumDeg)
  if (!(coefficients.slope < NO_SET_SLOPE)) return null
  const left = (loadedDeg: number) => loadedDeg - springbackAtDeg(coefficients, loadedDeg)
  return solve(left, wantedDeg, maximumDeg)
}

/**
 * Where to stop so that `wantedDeg` remains.
 *
 * What remains, θl − s(θl), is Student-t; the linear loss is least where P(over) = 1/(1 + r). Solve
 *
 *     θl − s(θl) + t·scale(θl) = θw,   t the r/(1 + r) quantile.
 *
 * Source: newsvendor rule; Koenker & Bassett (1978),
 * from memory. Exact but for the slow change of the scale with the angle (0.002°, computed).
 *
 * @throws DomainError `WANTED_ANGLE`, `MAXIMUM_ANGLE`, `LOSS_RATIO`
 */
export function aimFor(
  model: SpringbackModel,
  wantedDeg: number,
  options: AimOptions = {},
): Aim | NoAim {
  const { overToUnderLoss = 1, maximumDeg = FULL_TURN_DEG } = options
  if (!(overToUnderLoss >= 0.01 && overToUnderLoss <= 100))
    throw new DomainError('LOSS_RATIO', { overToUnderLoss })
  const coefficients = coefficientsOf(model)
  const middleDeg = loadedForDeg(coefficients, wantedDeg, maximumDeg)
  if (middleDeg === null) return { commandedDeg: null, why: whyNoAim(coefficients, maximumDeg) }
  const share = overToUnderLoss / (1 + overToUnderLoss)
  const t = tQuantile(share, springbackOfNext(model, middleDeg).degreesOfFreedom)
  const left = (loadedDeg: number) => {
    const { springbackDeg, scaleDeg } = springbackOfNext(model, loadedDeg)
    return loadedDeg - springbackDeg + t * scaleDeg
  }
  const commandedDeg = share === 0.5 ? middleDeg : solve(left, wantedDeg, maximumDeg)
  if (commandedDeg === null) return { commandedDeg, why: pastMaximum(maximumDeg) }
  const { springbackDeg, lowDeg, highDeg } = predictSpringback(model, commandedDeg)
  const aim = {
    commandedDeg,
    springbackDeg,
    lowDeg: commandedDeg - highDeg,
    highDeg: commandedDeg - lowDeg,
    bendsLearned: model.bends,
  }
  const halfDeg = (highDeg - lowDeg) / 2
  const shortDeg = middleDeg - commandedDeg
  return { ...aim, why: whyAimed({ bendsLearned: model.bends, springbackDeg, halfDeg, shortDeg }) }
}
