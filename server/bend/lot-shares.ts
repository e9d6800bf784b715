import { errorShares, type JudgedBend } from './error-shares.ts'

/** A bend of a lot, with how well its released angle was known. */
export interface LotBend extends JudgedBend {
  /** Expanded uncertainty of the released angle, k = 2, degrees. */
  readonly readoutExpandedDeg: number | null
}

/** What put the bends of a lot off, root mean square in degrees, over the bends whose shares are known. */
export interface LotShares {
  readonly bends: number
  readonly stopDeg: number
  readonly tubeDeg: number
  readonly aimDeg: number
  /** Standard uncertainty of the readout, which is in all three; null where no bend tells it. */
  readonly readoutDeg: number | null
}

function rootMeanSquare(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length)
}

/** The shares of the error over a lot; null where they are known of no bend. */
export function lotShares(bends: readonly LotBend[]): LotShares | null {
  const each = bends.flatMap((bend) => {
    const shares = errorShares(bend)
    return shares === null ? [] : [{ ...shares, readoutExpandedDeg: bend.readoutExpandedDeg }]
  })
  if (each.length === 0) return null
  const readout = each.flatMap(({ readoutExpandedDeg: deg }) => (deg === null ? [] : [deg / 2]))
  return {
    bends: each.length,
    stopDeg: rootMeanSquare(each.map(({ stopDeg }) => stopDeg)),
    tubeDeg: rootMeanSquare(each.map(({ tubeDeg }) => tubeDeg)),
    aimDeg: rootMeanSquare(each.map(({ aimDeg }) => aimDeg)),
    readoutDeg: readout.length === 0 ? null : rootMeanSquare(readout),
  }
}
