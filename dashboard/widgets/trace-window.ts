/** So little is slack or a hand on the tube: the bend has not begun. */
const BEGUN_DEG = 2
/** Shown of the time between the datum and the bend, however long that was. */
const BEFORE_S = 3
/** At least so much is shown, so that a short trace is not stretched. */
const SHOWN_S_MIN = 10

/** An array, or what a chart keeps of one. */
interface Column {
  readonly length: number
  readonly [place: number]: number | null | undefined
}

function begunAt(angleDeg: Column): number {
  for (let place = 0; place < angleDeg.length; place++)
    if ((angleDeg[place] ?? 0) >= BEGUN_DEG) return place
  return angleDeg.length - 1
}

/**
 * Which part of a trace is shown, seconds from and to: from shortly before the bend began to its end. While
 * none has begun, the last few seconds.
 */
export function windowOf(tS: Column, angleDeg: Column): [number, number] {
  const firstS = tS[0] ?? 0
  const begunS = tS[begunAt(angleDeg)] ?? firstS
  const fromS = Math.max(firstS, begunS - BEFORE_S)
  return [fromS, Math.max(fromS + SHOWN_S_MIN, tS[tS.length - 1] ?? 0)]
}
