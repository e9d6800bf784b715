/**
 * Linear equations of a Gaussian with known spreads: precision·unknowns = right. Grown and shrunk by
 * adding parts with a sign. At most `NODES_MAX` unknowns; the lower triangle counts.
 */
export interface LevelSystem {
  size: number
  readonly precision: Float64Array
  readonly right: Float64Array
}

/**
 * Materials and dies that can share what they learn. A small shop has a dozen; a solution costs the
 * third power, 64 take 50 µs. One more stands on its own: its prior is the mechanics alone.
 */
export const NODES_MAX = 64
/** Room for the two unknowns that a question adds. */
const STRIDE = NODES_MAX + 2

export const newLevelSystem = (): LevelSystem => ({
  size: 0,
  precision: new Float64Array(STRIDE * STRIDE),
  right: new Float64Array(STRIDE),
})

/** A Gaussian factor over a few unknowns; `precision` is square and symmetric, row by row. */
export interface LevelPart {
  readonly at: readonly number[]
  readonly precision: readonly number[]
  readonly right: readonly number[]
}

export function addPart(system: LevelSystem, { at, precision, right }: LevelPart, sign = 1): void {
  const count = at.length
  for (let i = 0; i < count; i++) {
    const row = at[i] as number
    system.right[row] = (system.right[row] as number) + sign * (right[i] as number)
    for (let j = 0; j < count; j++) {
      const place = row * STRIDE + (at[j] as number)
      const value = precision[i * count + j] as number
      system.precision[place] = (system.precision[place] as number) + sign * value
    }
  }
}

/** Copies `from` over `to`, which may have been larger. */
export function copySystem(from: LevelSystem, to: LevelSystem): void {
  // Beyond, both are empty: a question adds two rows to what it copied.
  const rows = Math.min(STRIDE, Math.max(from.size, to.size) + 2)
  to.size = from.size
  to.precision.set(from.precision.subarray(0, rows * STRIDE))
  to.right.set(from.right)
}

export function clearSystem(system: LevelSystem, size: number): void {
  system.size = size
  system.precision.fill(0)
  system.right.fill(0)
}

export function swapNodes(system: LevelSystem, a: number, b: number): void {
  if (a === b) return
  const { size, precision, right } = system
  for (let k = 0; k < size; k++) swap(precision, a * STRIDE + k, b * STRIDE + k)
  for (let k = 0; k < size; k++) swap(precision, k * STRIDE + a, k * STRIDE + b)
  swap(right, a, b)
}

function swap(values: Float64Array, a: number, b: number): void {
  const kept = values[a] as number
  values[a] = values[b] as number
  values[b] = kept
}

/** Cholesky's factor over the lower triangle, and L⁻¹·right over the right side, in place. */
function factor({ size, precision, right }: LevelSystem): void {
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let value = precision[i * STRIDE + j] as number
      for (let k = 0; k < j; k++)
        value -= (precision[i * STRIDE + k] as number) * (precision[j * STRIDE + k] as number)
      precision[i * STRIDE + j] =
        i === j ? Math.sqrt(value) : value / (precision[j * STRIDE + j] as number)
    }
    let value = right[i] as number
    for (let k = 0; k < i; k++)
      value -= (precision[i * STRIDE + k] as number) * (right[k] as number)
    right[i] = value / (precision[i * STRIDE + i] as number)
  }
}

/** Two unknowns: means, variances and covariance. */
export interface Pair {
  readonly mean: readonly [number, number]
  readonly firstVariance: number
  readonly covariance: number
  readonly secondVariance: number
}

/** What the equations say of the last two unknowns. The system is used up. */
export function solveLastTwo(system: LevelSystem): Pair {
  factor(system)
  const { size, precision, right } = system
  const l11 = precision[(size - 2) * STRIDE + size - 2] as number
  const l21 = precision[(size - 1) * STRIDE + size - 2] as number
  const l22 = precision[(size - 1) * STRIDE + size - 1] as number
  const second = (right[size - 1] as number) / l22
  const first = ((right[size - 2] as number) - l21 * second) / l11
  // The inverse of LLᵀ, of two rows.
  const cross = -l21 / (l11 * l22)
  return {
    mean: [first, second],
    firstVariance: 1 / (l11 * l11) + cross * cross,
    covariance: cross / l22,
    secondVariance: 1 / (l22 * l22),
  }
}

/** −½·log det + ½·right·solution: what a Gaussian integrates to. The system is used up. */
export function logIntegral(system: LevelSystem): number {
  factor(system)
  let sum = 0
  for (let k = 0; k < system.size; k++) {
    sum -= Math.log(system.precision[k * STRIDE + k] as number)
    sum += (system.right[k] as number) ** 2 / 2
  }
  return sum
}
