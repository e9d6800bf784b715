import { setImmediate } from 'node:timers/promises'

/** Large enough that the way of a piece costs little beside it. */
const PIECE_CHARS = 64 * 1024
/** How long a live sample waits for it at the most, about. */
const TURN_MS = 5

/**
 * Joins short texts into pieces for a stream, and lets everything else go on after each: a reader that is always ready
 * would else be served without an end.
 */
export async function* inPieces(
  texts: Iterable<string>,
  nowMs: () => number = performance.now.bind(performance),
): AsyncGenerator<string> {
  let piece = ''
  let beganMs = nowMs()
  for (const text of texts) {
    piece += text
    if (piece.length < PIECE_CHARS && nowMs() - beganMs < TURN_MS) continue
    yield piece
    piece = ''
    await setImmediate()
    beganMs = nowMs()
  }
  if (piece !== '') yield piece
}
