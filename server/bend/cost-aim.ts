import tQuantile from '@stdlib/stats-base-dists-t-quantile'
import { type Aim, loadedForDeg, type NoAim, whyNoAim } from './aim.ts'
import { whyAimed } from './aim-why.ts'
import { DomainError } from './errors.ts'
import { coefficientsOf, type SpringbackModel, springbackOfNext } from './springback.ts'
import { predictSpringback } from './springback-prediction.ts'
import { studentBelow } from './student-t.ts'

/** What a bend outside its tolerance costs, in any one unit. */
interface AimCosts {
  /** Under: it is gone at once more while clamped. More than 0. */
  readonly oneMoreGo: number
  /** Over: the tube is lost. */
  readonly scrap: number
}

/**
 * Where nobody has said: a tube with the work in it costs ten times the minute that one more go takes (judgement, no
 * source). It is the ratio that the benchmark's virtual shops reckon with.
 */
export const USUAL_COSTS: AimCosts = { oneMoreGo: 1, scrap: 10 }

/** What is to be bent, and who bends it. Degrees. */
export interface CostAimOptions {
  readonly wantedDeg: number
  /** Allowed either way, more than 0. */
  readonly toleranceDeg: number
  readonly costs: AimCosts
  /** Standard deviation of where the operator stops, about the mark; 0 where it is not known. */
  readonly stopSdDeg?: number
  /** Farthest the bender goes. Without one: a full turn. */
  readonly maximumDeg?: number
  /** Bends of this set-up on record, whether they count or not; its first is said to be the first. */
  readonly bendsMade?: number
  /** Bends of this lot that count, on any set-up. */
  readonly lotBends?: number
  /** The same of the material. */
  readonly materialBends?: number
}

export interface CostAim extends Aim {
  /** Springback at the middle aim, whatever the shortfall, degrees. */
  readonly allowedDeg: number
  /** How far short of the middle it aims, degrees, 0 or more. */
  readonly shortDeg: number
  /** Chances that the tube stands over, or under, its tolerance. */
  readonly over: number
  readonly under: number
  /** Expected cost, in the unit of the costs. */
  readonly cost: number
}

/** The tolerance's two edges, seen from the middle of what will remain and in its scale. */
interface Spread {
  readonly toleranceDeg: number
  readonly scaleDeg: number
  readonly degreesOfFreedom: number
}

/** Aiming shorter than where one tube in 200 is over saves nothing more, and bends a second go twice. */
const OVER_LEAST = 0.005

const expected = ({ oneMoreGo, scrap }: AimCosts, spread: Spread, shortDeg: number) => {
  const { toleranceDeg, scaleDeg, degreesOfFreedom } = spread
  const under = studentBelow((shortDeg - toleranceDeg) / scaleDeg, degreesOfFreedom)
  const over = studentBelow(-(shortDeg + toleranceDeg) / scaleDeg, degreesOfFreedom)
  return { under, over, cost: oneMoreGo * under + scrap * over }
}

/**
 * How far short of the middle costs least.
 *
 * Where the cost stands still, c₁·f(lower edge) = c₂·f(upper edge) with f Student's density. With
 * q = (c₂/c₁)^(2/(ν + 1)) and k = (q + 1)/(q − 1) this is a quadratic in the shortfall d:
 *
 *     d² − 2kτ·d + τ² + ν·s² = 0,   the smaller root.
 *
 * Without a root the spread is so wide that the cost only falls with d: then, and where it is
 * cheaper, the bend is planned at twice, as short as makes over unlikely.
 */
function shortfallDeg(costs: AimCosts, spread: Spread): number {
  const { toleranceDeg, scaleDeg, degreesOfFreedom: freedom } = spread
  if (!(costs.scrap > costs.oneMoreGo)) return 0
  const farDeg = Math.max(0, tQuantile(1 - OVER_LEAST, freedom) * scaleDeg - toleranceDeg)
  const q = (costs.scrap / costs.oneMoreGo) ** (2 / (freedom + 1))
  const half = (toleranceDeg * (q + 1)) / (q - 1)
  const rest = half * half - toleranceDeg * toleranceDeg - freedom * scaleDeg * scaleDeg
  if (!(rest >= 0)) return farDeg
  const nearDeg = half - Math.sqrt(rest)
  const cost = (deg: number) => expected(costs, spread, deg).cost
  return farDeg > nearDeg && cost(farDeg) < cost(nearDeg) ? farDeg : nearDeg
}

/** @throws DomainError `LOSS_RATIO` unless scrap costs from a hundredth of one more go to a hundred of them. */
export function checkCosts({ oneMoreGo, scrap }: AimCosts): void {
  const overToUnderLoss = scrap / oneMoreGo
  if (!(overToUnderLoss >= 0.01 && overToUnderLoss <= 100))
    throw new DomainError('LOSS_RATIO', { overToUnderLoss })
}

function check({ wantedDeg, toleranceDeg, costs, stopSdDeg = 0 }: CostAimOptions): void {
  if (!(wantedDeg > 0 && wantedDeg <= 360)) throw new DomainError('WANTED_ANGLE', { wantedDeg })
  if (!(toleranceDeg > 0 && toleranceDeg < Infinity))
    throw new DomainError('TOLERANCE', { toleranceDeg })
  if (!(stopSdDeg >= 0 && stopSdDeg < Infinity))
    throw new DomainError('STANDARD_UNCERTAINTY', { standardDeg: stopSdDeg })
  checkCosts(costs)
}

/**
 * Where to stop so that going once more and scrap together cost least:
 *
 *     c₁·P(released < wanted − τ) + c₂·P(released > wanted + τ).
 *
 * A tube that is under is gone at again and then comes right, since it has shown its own springback;
 * over is lost. So while little is known the aim is short, and as the spread shrinks it goes to the
 * middle. Where going again costs as much as scrap or more, it is the middle: over cannot be undone.
 *
 * @throws DomainError `WANTED_ANGLE`, `TOLERANCE`, `STANDARD_UNCERTAINTY`, `LOSS_RATIO`,
 *   `MAXIMUM_ANGLE`
 */
export function aimUnderCosts(model: SpringbackModel, options: CostAimOptions): CostAim | NoAim {
  check(options)
  const { wantedDeg, toleranceDeg, costs, stopSdDeg = 0, maximumDeg } = options
  const coefficients = coefficientsOf(model)
  const middleDeg = loadedForDeg(coefficients, wantedDeg, maximumDeg)
  if (middleDeg === null) return { commandedDeg: null, why: whyNoAim(coefficients, maximumDeg) }
  const { scaleDeg: bendDeg, degreesOfFreedom } = springbackOfNext(model, middleDeg)
  const stopDeg = (1 - coefficients.slope) * stopSdDeg
  const scaleDeg = Math.sqrt(bendDeg * bendDeg + stopDeg * stopDeg)
  const spread = { toleranceDeg, scaleDeg, degreesOfFreedom }
  // However wide the spread: a third of the bend is left to the first go's seeing.
  const shortDeg = Math.min(shortfallDeg(costs, spread), wantedDeg / 3)
  const commandedDeg = loadedForDeg(coefficients, wantedDeg - shortDeg, maximumDeg) ?? middleDeg
  const { springbackDeg, lowDeg, highDeg } = predictSpringback(model, commandedDeg)
  const chances = expected(costs, spread, shortDeg)
  const at = {
    commandedDeg,
    springbackDeg,
    lowDeg: commandedDeg - highDeg,
    highDeg: commandedDeg - lowDeg,
    bendsLearned: model.bends,
  }
  const { bendsMade, lotBends, materialBends } = options
  const halfDeg = (highDeg - lowDeg) / 2
  const why = whyAimed({ ...at, halfDeg, shortDeg, bendsMade, lotBends, materialBends })
  return { ...at, allowedDeg: middleDeg - wantedDeg, shortDeg, ...chances, why }
}
