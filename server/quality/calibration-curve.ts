/** How a readout becomes an angle: a line, or a line and the errors of an eccentric turn. */
export const CURVES = ['line', 'once', 'twice'] as const
export type CurveKind = (typeof CURVES)[number]

/** Errors with this many periods a turn are in each. */
export const HARMONICS_OF: Readonly<Record<CurveKind, number>> = { line: 0, once: 1, twice: 2 }

/** The part of the error that repeats 1, 2… times a turn, degrees. */
interface Harmonic {
  readonly cosDeg: number
  readonly sinDeg: number
}

export interface CalibrationCurve {
  /** Degrees of the die for one degree of the readout. */
  readonly scale: number
  /** The angle at readout 0. A datum takes it off again. */
  readonly offsetDeg: number
  /** Once a turn, twice a turn; none for a line. */
  readonly harmonics: readonly Harmonic[]
}

const RAD_PER_DEG = Math.PI / 180

/** The harmonic columns at a readout, in degrees: cos r, sin r, cos 2r, sin 2r… */
export function harmonicsAt(readoutDeg: number, count: number): number[] {
  return Array.from({ length: count }, (_, k) => {
    const turnRad = (k + 1) * readoutDeg * RAD_PER_DEG
    return [Math.cos(turnRad), Math.sin(turnRad)]
  }).flat()
}

/** The angle at a readout, degrees. */
export function curveAt({ scale, offsetDeg, harmonics }: CalibrationCurve, readoutDeg: number) {
  const columns = harmonicsAt(readoutDeg, harmonics.length)
  const weights = harmonics.flatMap(({ cosDeg, sinDeg }) => [cosDeg, sinDeg])
  const errorDeg = weights.reduce((sum, weight, i) => sum + weight * (columns[i] ?? 0), 0)
  return offsetDeg + scale * readoutDeg + errorDeg
}
