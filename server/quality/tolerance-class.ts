/** Classes of general tolerances: fine, medium, coarse, very coarse. */
export const TOLERANCE_CLASSES = ['f', 'm', 'c', 'v'] as const
export type ToleranceClass = (typeof TOLERANCE_CLASSES)[number]

/** Upper end of each range of the shorter leg; a leg just as long belongs to it. */
const LEGS_MM = [10, 50, 120, 400, Infinity] as const

const MINUTES: Readonly<Record<ToleranceClass, readonly number[]>> = {
  f: [60, 30, 20, 10, 5],
  m: [60, 30, 20, 10, 5],
  c: [90, 60, 30, 15, 10],
  v: [180, 120, 60, 30, 20],
}

/**
 * Permitted deviation of an angle, ± degrees (ISO 2768-1:1989, table 3).
 *
 * @param shorterLegMm Over 0.
 * @throws RangeError for a leg that is not over 0 and finite.
 */
export function angleToleranceDeg(of: ToleranceClass, shorterLegMm: number): number {
  if (!(shorterLegMm > 0 && shorterLegMm < Infinity))
    throw new RangeError(`a leg of ${shorterLegMm} mm has no tolerance`)
  const place = LEGS_MM.findIndex((end) => shorterLegMm <= end)
  return (MINUTES[of][place] ?? 0) / 60
}
