/**
 * What a measurement proves of a value and its limits, once its uncertainty is taken into account: the value is inside,
 * it is outside, or it lies too near to a limit to say.
 */
export type Proof = 'proved-in' | 'proved-out' | 'undecided'

interface Measured {
  /** Measured less wanted, in any unit. */
  readonly error: number
  /** Half the width of the tolerance, limits included; at least 0. */
  readonly tolerance: number
  /** Expanded uncertainty of the measured value, k = 2; at least 0. */
  readonly expanded: number
}

/** Recorded values count to a millionth: what a binary digit adds or takes decides nothing. */
const millionths = (value: number) => Math.round(value * 1e6)

/**
 * The decision rule of ISO 14253-1 with the whole of U as guard band on either side of each limit, which is guarded
 * acceptance with w = U in JCGM 106:2012, 8.3 (both from memory): inside where the value with its U lies within the limits,
 * the limits included; outside where it lies beyond one of them. The standard of 2017 lets customer and supplier agree on a
 * narrower band; this one is the wider, and says "undecided" sooner.
 *
 * @returns null where one of the three is no number, or tolerance or uncertainty is below 0.
 */
export function provedBy({ error, tolerance, expanded }: Measured): Proof | null {
  if (!(Number.isFinite(error) && tolerance >= 0 && expanded >= 0)) return null
  const [off, limit, band] = [
    Math.abs(millionths(error)),
    millionths(tolerance),
    millionths(expanded),
  ]
  if (off + band <= limit) return 'proved-in'
  return off - band > limit ? 'proved-out' : 'undecided'
}
