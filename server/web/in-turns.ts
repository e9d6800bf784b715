import { setImmediate } from 'node:timers/promises'

/** Takes steps to their end and lets everything else go on in between: a live sample waits for one step at most. */
async function inTurns<T>(steps: Iterator<void, T>, signal: AbortSignal): Promise<T> {
  for (;;) {
    signal.throwIfAborted()
    const step = steps.next()
    if (step.done) return step.value
    await setImmediate()
  }
}

/** Makes the function that does one after the other of what takes much memory each, as long as anybody waits for it. */
export function makeOneByOne() {
  let before: Promise<unknown> = Promise.resolve()
  return function oneByOne<T>(begin: () => Iterator<void, T>, signal: AbortSignal): Promise<T> {
    const result = before.then(() => inTurns(begin(), signal))
    before = result.catch(() => {})
    return result
  }
}
