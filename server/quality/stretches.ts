/** Values that are gone through in one step: some milliseconds, whatever is done with them. */
const STRETCH = 1 << 17

/** Goes through a long run stretch by stretch, and yields after each. */
export function* eachStretch(
  length: number,
  see: (from: number, to: number) => void,
): Generator<void> {
  for (let from = 0; from < length; from += STRETCH) {
    see(from, Math.min(length, from + STRETCH))
    yield
  }
}
