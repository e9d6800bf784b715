/**
 * How many decimals of a degree a reader may be shown: the last digit is one the expanded
 * uncertainty (k = 2) supports. 0.05 and 0.5: the last digit then moves by no more than half of ten.
 */
export function decimalsFor(uncertaintyDeg: number | null): number {
  if (uncertaintyDeg === null) return 1
  if (uncertaintyDeg <= 0.05) return 2
  return uncertaintyDeg <= 0.5 ? 1 : 0
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
