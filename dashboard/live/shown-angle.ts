/**
 * How many decimals of a degree a reader may be shown: the last digit is one the expanded
 * uncertainty (k = 2) supports. 0.05 and 0.5: the last digit then moves by no more than half of ten.
 */
export function decimalsFor(uncertaintyDeg: number | null): number {
  if (uncertaintyDeg === null) return 1
  if (uncertaintyDeg <= 0.05) return 2
  return uncertaintyDeg <= 0.5 ? 1 : 0
}

/** Rounded to as many decimals as are shown. */
const asShown = (deg: number, decimals: number) => Number(deg.toFixed(decimals))

/** What is left from the angle on show to a stop shown with one decimal: the two figures' own difference. */
export const leftDeg = (commandedDeg: number, shownDeg: number): number =>
  asShown(asShown(commandedDeg, 1) - shownDeg, 6)

/** How far off a bend is, from its released and its wanted angle as they are shown. */
export function shownErrorDeg(result: {
  readonly errorDeg: number | null
  readonly go: { readonly releasedDeg: number | null }
}): number | null {
  const { errorDeg, go } = result
  if (errorDeg === null || go.releasedDeg === null) return null
  return asShown(asShown(go.releasedDeg, 1) - asShown(go.releasedDeg - errorDeg, 1), 6)
}

/** Half a step of dead band: a reading on the edge between two digits does not flicker. */
const HYSTERESIS_STEPS = 0.25

/**
 * The whole number of steps to show for a new angle, given the one on show (null: none yet).
 * A step is the last digit. The number on show stays until the angle is 0.75 of a step away.
 */
export function stepToShow(angleDeg: number, decimals: number, shownSteps: number | null): number {
  const steps = angleDeg * 10 ** decimals
  if (shownSteps !== null && Math.abs(steps - shownSteps) < 0.5 + HYSTERESIS_STEPS)
    return shownSteps
  return Math.round(steps)
}
