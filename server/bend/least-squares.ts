/**
 * A linear least-squares problem: its sums, and its solution by Cholesky's method. It is filled and solved
 * again and again without allocating.
 */
export interface LeastSquares {
  readonly columns: number
  /** The row to be added: written by the caller. */
  readonly row: Float64Array
  /** Lower triangle of XᵀX, row by row at stride `columns`. */
  readonly normal: Float64Array
  readonly right: Float64Array
  readonly solution: Float64Array
  squares: number
}

export function newLeastSquares(columns: number): LeastSquares {
  return {
    columns,
    row: new Float64Array(columns),
    normal: new Float64Array(columns * columns),
    right: new Float64Array(columns),
    solution: new Float64Array(columns),
    squares: 0,
  }
}

export function clearLeastSquares(problem: LeastSquares): void {
  problem.normal.fill(0)
  problem.right.fill(0)
  problem.squares = 0
}

/** Adds `problem.row` with the value it should give. */
export function addRow(problem: LeastSquares, y: number): void {
  const { columns, row, normal, right } = problem
  for (let i = 0; i < columns; i += 1) {
    const x = row[i] as number
    if (x === 0) continue
    right[i] = (right[i] as number) + x * y
    for (let j = 0; j <= i; j += 1) {
      const place = i * columns + j
      normal[place] = (normal[place] as number) + x * (row[j] as number)
    }
  }
  problem.squares += y * y
}

/** A column that the data do not determine gets this share of weight towards zero instead of a failure. */
const RIDGE = 1e-9

/**
 * Solves in place, leaving the solution in `problem.solution` and Cholesky's factor in `problem.normal`.
 * @returns the sum of squared residuals.
 */
export function solve(problem: LeastSquares): number {
  const { columns, normal, right, solution } = problem
  factor(normal, columns)
  let explained = 0
  for (let i = 0; i < columns; i += 1) {
    let value = right[i] as number
    for (let k = 0; k < i; k += 1)
      value -= (normal[i * columns + k] as number) * (solution[k] as number)
    value /= normal[i * columns + i] as number
    solution[i] = value
    explained += value * value
  }
  for (let i = columns - 1; i >= 0; i -= 1) {
    let value = solution[i] as number
    for (let k = i + 1; k < columns; k += 1)
      value -= (normal[k * columns + i] as number) * (solution[k] as number)
    solution[i] = value / (normal[i * columns + i] as number)
  }
  return Math.max(0, problem.squares - explained)
}

/** Cholesky's factor L, in the lower triangle, with LLᵀ = XᵀX. */
function factor(normal: Float64Array, columns: number): void {
  for (let i = 0; i < columns; i += 1)
    for (let j = 0; j <= i; j += 1) {
      let value = normal[i * columns + j] as number
      if (i === j) value += RIDGE * (1 + value)
      for (let k = 0; k < j; k += 1)
        value -= (normal[i * columns + k] as number) * (normal[j * columns + k] as number)
      normal[i * columns + j] =
        i === j ? Math.sqrt(Math.max(value, RIDGE)) : value / (normal[j * columns + j] as number)
    }
}

/** Makes the columns from `first` on heavier by a share of their own weight, so that `solve` moves them less. */
export function damp({ columns, normal }: LeastSquares, first: number, share: number): void {
  for (let i = first; i < columns; i += 1) {
    const place = i * columns + i
    normal[place] = (normal[place] as number) * (1 + share)
  }
}
