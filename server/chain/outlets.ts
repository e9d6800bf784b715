type Listener = (message: unknown) => void

/** Where blocks hand things out of the chain. */
export interface Outlets {
  on(outlet: string, listener: Listener): () => void
  /** The `emit` of a block with this outlet. */
  emitter(outlet: string | undefined): (message: unknown) => void
  /** Tells listeners what was emitted since; what they throw is put on the list. */
  deliver(errors: unknown[]): void
}

/**
 * Messages wait until their batch is done: a listener that throws or pushes then finds the chain at rest,
 * never in the middle of a batch.
 */
export function openOutlets(): Outlets {
  const listeners = new Map<string, Set<Listener>>()
  // Two lists that are filled again and again: an object for each message would cost memory with every batch.
  const addressed: (ReadonlySet<Listener> | null)[] = []
  const messages: unknown[] = []
  let waiting = 0
  return {
    on(outlet, listener) {
      const all = listeners.get(outlet)
      if (all === undefined) throw new RangeError(`This chain has no outlet "${outlet}".`)
      all.add(listener)
      return () => all.delete(listener)
    },
    emitter(outlet) {
      if (outlet === undefined) return refuseToEmit
      const all = listeners.get(outlet) ?? new Set()
      listeners.set(outlet, all)
      return (message) => {
        addressed[waiting] = all
        messages[waiting] = message
        waiting++
      }
    },
    deliver(errors) {
      for (let nth = 0; nth < waiting; nth++) {
        const message = messages[nth]
        const all = addressed[nth] ?? NOBODY
        messages[nth] = null
        addressed[nth] = null
        for (const listener of all) attempt(listener, message, errors)
      }
      waiting = 0
    },
  }
}

const NOBODY: ReadonlySet<Listener> = new Set()

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
