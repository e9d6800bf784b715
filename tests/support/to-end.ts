/** Takes steps to their end in one go. */
export function toEnd<T>(steps: Iterator<void, T>): T {
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}
