/** Place and rate as an alpha–beta filter holds them: plain data. */
export interface Track {
  /** A second. First, since `{ value, rate }` is also how columns lie together: numbers would cost memory there. */
  rate: number
  value: number
}

/** Share of the surprise that goes into the place. P. R. Kalata, IEEE Trans. AES-20(2), 1984, 174–182. */
export function alphaOf(index: number): number {
  const r = (4 + index - Math.sqrt(8 * index + index * index)) / 4
  return 1 - r * r
}

/** Share that goes into the rate, times the step in time. */
export const betaOf = (alpha: number): number => 2 * (2 - alpha) - 4 * Math.sqrt(1 - alpha)

/** @param stepS above zero. */
export function stepTrack(
  track: Track,
  reading: number,
  stepS: number,
  alpha: number,
  beta: number,
): void {
  const expected = track.value + track.rate * stepS
  const surprise = reading - expected
  track.value = expected + alpha * surprise
  track.rate += (beta / stepS) * surprise
}
