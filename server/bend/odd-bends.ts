import { type NormalInverseGamma, observe, predictAt } from './normal-inverse-gamma.ts'
import type { RobustRow } from './robust-weights.ts'

/** `y` is the springback times the root of its weight, as `row` is. */
export interface EarlyBend extends RobustRow {
  readonly springbackDeg: number
}

/**
 * One bend in fifty is disturbed: the tube slipped, it was another one, the sensor was bumped. By 2° or so either
 * way, now and then by far more: Student-t of 3 degrees of freedom. (Judgement, no source.)
 */
const DISTURBED_SHARE = 0.02
const DISTURBED_DEG = 2

/** Γ(2)/(Γ(1.5)·√(3π)), the density of that t in its middle. */
const LOG_MIDDLE = Math.log(0.36755259694786)

/** ln Γ(a + ½) − ln Γ(a), to 1e-5 from a = 3 on (asymptotic series, from memory; checked by values). */
export const logGammaStep = (a: number): number =>
  Math.log(a) / 2 - 1 / (8 * a) + 1 / (192 * a * a * a)

/** Log density of bends that count, but for what is the same whichever do. */
function logEvidence({ shape, rate, r11, r22 }: NormalInverseGamma, priorShape: number): number {
  let steps = 0
  for (let a = priorShape; a < shape; a += 0.5) steps += logGammaStep(a)
  const count = 2 * (shape - priorShape)
  return steps - shape * Math.log(rate) - Math.log(r11 * r22) - (count / 2) * Math.log(2 * Math.PI)
}

/** Log density of a disturbed one, given the line of the others. */
function logDisturbed(line: NormalInverseGamma, { row, y, springbackDeg }: EarlyBend): number {
  const { mean, scale } = predictAt(line, row)
  const bump = (DISTURBED_DEG * y) / springbackDeg
  const variance = bump * bump + scale * scale
  return LOG_MIDDLE - Math.log(variance) / 2 - 2 * Math.log1p((y - mean) ** 2 / (3 * variance))
}

const bitsOf = (mask: number): number => {
  let count = 0
  for (let rest = mask; rest !== 0; rest &= rest - 1) count++
  return count
}

/**
 * Which of the first bends were most likely disturbed: every choice of up to half of them is tried, and weighed
 * by how well the others and the prior agree and by how rare a disturbance is. A bump among the first three is
 * told from a steep lot as soon as the bends can tell; weights from one line through all of them find it later.
 *
 * Source: variable-inclusion by marginal likelihoods of the normal–inverse-gamma model (Bishop, Pattern
 * Recognition and Machine Learning, 3.4; mean-shift outliers, G. E. P. Box & G. C. Tiao, Biometrika 55 (1968) 119);
 * both from memory.
 *
 * @param prior Of shape 3 or more.
 * @param bends A few: each more doubles the work, six take 20 µs.
 * @returns places in `bends`, and the line through the others.
 */
export function likelyOdd(
  prior: NormalInverseGamma,
  bends: readonly EarlyBend[],
): { readonly odd: readonly number[]; readonly line: NormalInverseGamma } {
  const most = Math.max(1, Math.floor(bends.length / 2))
  let best = { log: Number.NEGATIVE_INFINITY, mask: 0, line: prior }
  for (let mask = 0; mask < 1 << bends.length; mask++) {
    const count = bitsOf(mask)
    if (count > most || bends.some(({ vouched }, k) => vouched && mask & (1 << k))) continue
    let line = prior
    bends.forEach(({ row, y }, k) => {
      if (!(mask & (1 << k))) line = observe(line, row, y)
    })
    let log = logEvidence(line, prior.shape)
    log += count * Math.log(DISTURBED_SHARE / (1 - DISTURBED_SHARE))
    bends.forEach((bend, k) => {
      if (mask & (1 << k)) log += logDisturbed(line, bend)
    })
    if (log > best.log) best = { log, mask, line }
  }
  const odd = bends.flatMap((_, k) => (best.mask & (1 << k) ? [k] : []))
  return { odd, line: best.line }
}
