/** Where something is and how fast it goes, and the covariance of the two. Plain data. */
export interface Motion {
  deg: number
  degPerS: number
  varDeg: number
  covariance: number
  varDegPerS: number
}

/**
 * One step of a Kalman filter for constant velocity, in place: predict over `stepS`, correct by one reading.
 *
 * @param noiseDeg Standard deviation of a reading, > 0.
 * @param accelDegPerS2 Standard deviation of the acceleration, constant within a step and independent from
 *   step to step: Q = a²·[[T⁴/4, T³/2], [T³/2, T²]]. At even steps its gains settle at Kalata's α and β/T for
 *   the tracking index a·T²/noise (IEEE Trans. AES-20(2), 1984; from memory).
 */
export function stepMotion(
  motion: Motion,
  readingDeg: number,
  stepS: number,
  noiseDeg: number,
  accelDegPerS2: number,
): void {
  const push = accelDegPerS2 * stepS
  const half = (push * stepS) / 2
  const varDeg =
    motion.varDeg + stepS * (2 * motion.covariance + stepS * motion.varDegPerS) + half * half
  const covariance = motion.covariance + stepS * motion.varDegPerS + half * push
  const varDegPerS = motion.varDegPerS + push * push
  const expectedDeg = motion.deg + motion.degPerS * stepS

  const spread = varDeg + noiseDeg * noiseDeg
  const gain = varDeg / spread
  const gainRate = covariance / spread
  const surprise = readingDeg - expectedDeg
  motion.deg = expectedDeg + gain * surprise
  motion.degPerS += gainRate * surprise
  motion.varDeg = (1 - gain) * varDeg
  motion.covariance = (1 - gain) * covariance
  motion.varDegPerS = varDegPerS - gainRate * covariance
}
