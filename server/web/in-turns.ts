import { setImmediate } from 'node:timers/promises'

/**
 * Takes steps to their end and lets everything else go on in between: a live sample waits for one step at most.
 *
 * @param signal Ends it with its reason when whoever asked has left.
 */
export async function inTurns<T>(
  steps: Generator<void, T, void>,
  signal?: AbortSignal,
): Promise<T> {
  try {
    for (;;) {
      signal?.throwIfAborted()
      const step = steps.next()
      if (step.done) return step.value
      await setImmediate()
    }
  } finally {
    // What it holds open, such as a transaction, is closed.
    steps.return(undefined as never)
  }
}

/** Makes the function that does one after the other of what takes much each: steps of two would add up in a turn. */
export function makeOneByOne() {
  let before: Promise<unknown> = Promise.resolve()
  return function oneByOne<T>(begin: () => Promise<T>): Promise<T> {
    const result = before.then(begin)
    before = result.catch(() => {})
    return result
  }
}
