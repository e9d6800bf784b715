import { Matrix, QrDecomposition, SingularValueDecomposition, solve } from 'ml-matrix'

/** A linear least-squares fit: value = Σ coefficient · column. */
export interface LinearFit {
  readonly coefficients: readonly number[]
  /** (XᵀX)⁻¹: times the squared residual standard deviation, the covariance of the coefficients. */
  readonly inverseNormal: readonly (readonly number[])[]
  /** Value less fitted value, a row each. */
  readonly residuals: readonly number[]
  /** How much of a row's own value is in its fitted value, 0 to 1: the diagonal of the hat matrix. */
  readonly leverages: readonly number[]
  /** Rows less columns. */
  readonly degreesOfFreedom: number
  /** √(Σ residual² / degrees of freedom); null when there is no row to spare. */
  readonly residualSd: number | null
  /** Condition number of the columns, each scaled to length 1: 1 is best. */
  readonly condition: number
}

/** Beyond it a double holds no digit of the coefficients. */
const CONDITION_MAX = 1e14

/** Columns of length 1, so that degrees and radians in one design do no harm. */
function lengthsOf(design: Matrix): number[] {
  return Array.from({ length: design.columns }, (_, j) => Math.hypot(...design.getColumn(j)))
}

function upperInverse(upper: Matrix, lengths: readonly number[]): Matrix {
  const inverse = solve(upper, Matrix.eye(upper.rows))
  return new Matrix(inverse.to2DArray().map((row, i) => row.map((cell) => cell / at(lengths, i))))
}

/**
 * Fits by Householder's QR: against the normal equations it loses half as many digits.
 *
 * @param rows One row of the design for each value, all of one length.
 * @returns null when the columns do not determine the coefficients.
 * @throws RangeError for fewer rows than columns, or a row of another length.
 */
export function fitLinear(
  rows: readonly (readonly number[])[],
  values: readonly number[],
): LinearFit | null {
  const columns = rows[0]?.length ?? 0
  if (!(columns >= 1 && rows.length >= columns && rows.length === values.length))
    throw new RangeError(
      `${rows.length} rows and ${values.length} values fit no ${columns} columns`,
    )
  const design = new Matrix(rows.map((row) => [...row]))
  const lengths = lengthsOf(design)
  if (!lengths.every((length) => length > 0 && length < Infinity)) return null
  const scaled = new Matrix(rows.map((row) => row.map((cell, j) => cell / at(lengths, j))))
  const qr = new QrDecomposition(scaled)
  const { condition } = new SingularValueDecomposition(scaled)
  if (!(qr.isFullRank() && condition <= CONDITION_MAX)) return null
  const right = Matrix.columnVector([...values])
  const coefficients = qr
    .solve(right)
    .getColumn(0)
    .map((value, j) => value / at(lengths, j))
  const inverse = upperInverse(qr.upperTriangularMatrix, lengths)
  const fitted = design.mmul(Matrix.columnVector(coefficients)).getColumn(0)
  const residuals = values.map((value, i) => value - at(fitted, i))
  const degreesOfFreedom = rows.length - columns
  const squares = residuals.reduce((sum, residual) => sum + residual ** 2, 0)
  return {
    coefficients,
    inverseNormal: inverse.mmul(inverse.transpose()).to2DArray(),
    residuals,
    leverages: qr.orthogonalMatrix.to2DArray().map((row) => Math.hypot(...row) ** 2),
    degreesOfFreedom,
    residualSd: degreesOfFreedom > 0 ? Math.sqrt(squares / degreesOfFreedom) : null,
    condition,
  }
}

/** A row that it passes through whatever its value has no error that leaving it out would show. */
const LEVERAGE_MAX = 1 - 1e-9

/**
 * Root mean square of what each row is off the fit through all the others (residual / (1 − leverage)), without
 * fitting again; null where leaving out a row leaves too little.
 */
export function leaveOneOut({ residuals, leverages }: LinearFit): number | null {
  if (!leverages.every((leverage) => leverage < LEVERAGE_MAX)) return null
  const squares = residuals.map((residual, i) => (residual / (1 - at(leverages, i))) ** 2)
  return Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length)
}

/** Standard deviation of Σ change · coefficient, for a residual standard deviation of 1. */
export function spreadOf({ inverseNormal }: LinearFit, change: readonly number[]): number {
  const variance = change.reduce(
    (sum, own, i) => sum + own * change.reduce((row, other, j) => row + cell(i, j) * other, 0),
    0,
  )
  function cell(i: number, j: number): number {
    return at(inverseNormal[i] ?? [], j)
  }
  // Rounding may leave a variance of nothing just below 0.
  return Math.sqrt(Math.max(0, variance))
}

function at(list: readonly number[], place: number): number {
  const found = list[place]
  if (found === undefined) throw new RangeError(`place ${place} is not there`)
  return found
}
