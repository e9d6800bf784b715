type Listener = (message: unknown) => void

/** Where blocks hand things out of the chain. */
export interface Outlets {
  on(outlet: string, listener: Listener): () => void
  /** The `emit` of a block with this outlet. */
  emitter(outlet: string | undefined): (message: unknown) => void
  /** Tells listeners what was emitted since; returns what they threw. */
  deliver(): unknown[]
}

/**
 * Messages wait until their batch is done: a listener that throws or pushes then finds the chain at rest,
 * never in the middle of a batch.
 */
export function openOutlets(): Outlets {
  const listeners = new Map<string, Set<Listener>>()
  const waiting: { outlet: string; message: unknown }[] = []
  return {
    on(outlet, listener) {
      const all = listeners.get(outlet)
      if (all === undefined) throw new RangeError(`This chain has no outlet "${outlet}".`)
      all.add(listener)
      return () => all.delete(listener)
    },
    emitter(outlet) {
      if (outlet === undefined) return refuseToEmit
      if (!listeners.has(outlet)) listeners.set(outlet, new Set())
      return (message) => waiting.push({ outlet, message })
    },
    deliver() {
      const errors: unknown[] = []
      for (const { outlet, message } of waiting.splice(0))
        for (const listener of listeners.get(outlet) ?? []) attempt(listener, message, errors)
      return errors
    },
  }
}

function refuseToEmit(): never {
  throw new Error('A block that emits must name its outlet.')
}

function attempt(listener: Listener, message: unknown, errors: unknown[]): void {
  try {
    listener(message)
  } catch (error) {
    errors.push(error)
  }
}
