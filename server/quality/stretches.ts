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

/** What steps come to, for one who has no need to do anything in between. */
export function inOneGo<T>(steps: Iterator<void, T>): T {
  let step = steps.next()
  while (!step.done) step = steps.next()
  return step.value
}
