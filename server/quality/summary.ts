import { inOneGo } from './in-one-go.ts'
import { eachStretch } from './stretches.ts'

/** Count, mean and spread of a run of values, in their unit. */
export interface Summary {
  readonly n: number
  readonly mean: number
  /** √(Σ (value − mean)² / (n − 1)); null for one value. */
  readonly sd: number | null
}

/** A run of values in order: a list, or a column of a table. */
export type Values = ArrayLike<number>

/** A power of two near the largest value: dividing by it loses no digit, and squares then stay within a double. */
const EXPONENT_MAX = 1000

/** @throws RangeError for no value, or one that is not finite. */
function* scaleSteps(values: Values): Generator<void, number> {
  let [largestSeen, areFinite] = [0, values.length > 0]
  yield* eachStretch(values.length, (from, to) => {
    let largest = largestSeen
    for (let i = from; i < to; i += 1) {
      const size = Math.abs(values[i] ?? Number.NaN)
      if (size > largest) largest = size
      if (!(size < Infinity)) areFinite = false
    }
    largestSeen = largest
  })
  if (!areFinite) throw new RangeError('a summary takes one finite value or more')
  if (largestSeen === 0) return 1
  const exponent = Math.floor(Math.log2(largestSeen))
  return 2 ** Math.min(EXPONENT_MAX, Math.max(-EXPONENT_MAX, exponent))
}

/** Σ with what each addition rounded off carried along (Neumaier, ZAMM 54, 1974; quoted from memory). */
export class CompensatedSum {
  // Begun with a fraction: so the engine keeps both as plain numbers in place.
  #sum = 0.5
  #lost = 0.5

  constructor() {
    this.#sum = 0
    this.#lost = 0
  }
  add(value: number): void {
    const next = this.#sum + value
    this.#lost +=
      Math.abs(this.#sum) >= Math.abs(value) ? this.#sum - next + value : value - next + this.#sum
    this.#sum = next
  }
  get total(): number {
    return this.#sum + this.#lost
  }
}

export function compensatedSum(values: Values): number {
  const sum = new CompensatedSum()
  for (let i = 0; i < values.length; i += 1) sum.add(values[i] ?? 0)
  return sum.total
}

/**
 * Each value less their mean, divided by a power of two. Values are first taken from the first of them, so that a large
 * common part costs no digit and values that are all the same deviate by exactly 0.
 *
 * @throws RangeError for no value, or one that is not finite.
 */
export function deviationsOf(values: Values) {
  const scale = inOneGo(scaleSteps(values))
  const first = (values[0] ?? 0) / scale
  const deviations = new Float64Array(values.length)
  for (let i = 0; i < values.length; i += 1) deviations[i] = (values[i] ?? 0) / scale - first
  const meanShift = compensatedSum(deviations) / values.length
  for (let i = 0; i < values.length; i += 1) deviations[i] = (deviations[i] ?? 0) - meanShift
  return { scale, mean: (first + meanShift) * scale, deviations }
}

/** Σ of squares of what is left after the mean, less what rounding of the mean put into it. */
export function squaresOf(deviations: Float64Array): number {
  const squares = compensatedSum(deviations.map((deviation) => deviation * deviation))
  return Math.max(0, squares - compensatedSum(deviations) ** 2 / deviations.length)
}

/** Sums of what each value, times a part, is away from the first and from the mean. */
function* deviationSumSteps(values: Values, part: number) {
  const first = (values[0] ?? 0) * part
  const shift = new CompensatedSum()
  yield* eachStretch(values.length, (from, to) => {
    for (let i = from; i < to; i += 1) shift.add((values[i] ?? 0) * part - first)
  })
  const meanShift = shift.total / values.length
  const [left, squares] = [new CompensatedSum(), new CompensatedSum()]
  yield* eachStretch(values.length, (from, to) => {
    for (let i = from; i < to; i += 1) {
      const deviation = (values[i] ?? 0) * part - first - meanShift
      left.add(deviation)
      squares.add(deviation * deviation)
    }
  })
  return { mean: first + meanShift, left: left.total, squares: squares.total }
}

/** Between these no square was lost and none went beyond a double. False for NaN. */
const isWithinReach = (squares: number) => squares > 1e-200 && squares < 1e200

/** The sums as they are, or, for values so large or small that squares would be lost, of scaled ones. */
function* scaledSumSteps(values: Values) {
  const plain = yield* deviationSumSteps(values, 1)
  if (isWithinReach(plain.squares)) return { ...plain, scale: 1 }
  const scale = yield* scaleSteps(values)
  // Of a power of two exactly as good as a division, and faster.
  return { ...(yield* deviationSumSteps(values, 1 / scale)), scale }
}

/**
 * Mean and standard deviation by two passes with compensated sums (Chan, Golub, LeVeque, The American Statistician 37,
 * 1983; quoted from memory). Nothing is put aside meanwhile: of a million values that takes longer than the sums.
 *
 * @throws RangeError for no value, or one that is not finite.
 */
export function* summarySteps(values: Values): Generator<void, Summary> {
  const n = values.length
  const { scale, mean, left, squares } = yield* scaledSumSteps(values)
  const variance = Math.max(0, squares - left ** 2 / n) / (n - 1)
  return { n, mean: mean * scale, sd: n < 2 ? null : Math.sqrt(variance) * scale }
}

/** The same in one go. @throws RangeError for no value, or one that is not finite. */
export const summaryOf = (values: Values): Summary => inOneGo(summarySteps(values))
