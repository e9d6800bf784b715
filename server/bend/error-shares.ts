/** What is known of a finished bend. Degrees. */
export interface JudgedBend {
  readonly wantedDeg: number
  readonly commandedDeg: number | null
  readonly peakDeg: number | null
  readonly releasedDeg: number | null
  /** The springback that was expected at the peak, before it was seen. */
  readonly expectedDeg: number | null
}

/** Where the error of a released angle came from; the three add up to it. Degrees, positive is over. */
export interface ErrorShares {
  /** Stood past, or short of, where the stop was called for: operator, valve and filter. */
  readonly stopDeg: number
  /** Sprang back less, or more, than was expected. */
  readonly tubeDeg: number
  /** Aimed off the wanted angle on purpose: short of it, or at a second go for what the tube had shown. */
  readonly aimDeg: number
}

/**
 * Splits released − wanted. Only what was foreseen before the bend counts as expected, so a tube is never blamed for
 * the stop, nor the operator for the tube. The readout's own error is in all of them, within its uncertainty.
 *
 * @returns null where any of the angles is not known, or nothing was bent.
 */
export function errorShares(bend: JudgedBend): ErrorShares | null {
  const { wantedDeg, commandedDeg, peakDeg, releasedDeg, expectedDeg } = bend
  if (commandedDeg === null || peakDeg === null || releasedDeg === null || expectedDeg === null)
    return null
  if (!(peakDeg > 0)) return null
  // Of a degree too far the tube gives its share back; the expected share of the peak is near enough to it.
  const stays = 1 - expectedDeg / peakDeg
  const stopDeg = (peakDeg - commandedDeg) * stays
  const tubeDeg = expectedDeg - (peakDeg - releasedDeg)
  const aimDeg = commandedDeg * stays - wantedDeg
  return { stopDeg, tubeDeg, aimDeg }
}

/**
 * Whether the readout's own error is in the released angle: not where there is none, nor where an angle finder gave it.
 */
export const isByReadout = (
  releasedDeg: number | null,
  releasedFrom: string | null | undefined,
): boolean => releasedDeg !== null && releasedFrom !== 'checked'
