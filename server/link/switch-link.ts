import type { Link, ReceivedLine, WireState } from './link.ts'

/** A link whose wire can be changed while the daemon runs; who listens to it goes on listening. */
export interface LinkSwitch extends Link {
  /**
   * Another wire from now on. The old one is let go before the new one is opened: both may be one port.
   * Resolves when that is done.
   */
  use(next: Link): Promise<void>
}

export function makeLinkSwitch(first: Link): LinkSwitch {
  const onLines: ((lines: readonly ReceivedLine[]) => void)[] = []
  const onState: ((state: WireState) => void)[] = []
  let current = first
  let isOpen = false
  let lettingGo: Promise<void> = Promise.resolve()

  function hear(link: Link): void {
    link.onLines((lines) => {
      if (link === current) for (const listener of onLines) listener(lines)
    })
    link.onState((state) => {
      if (link === current) for (const listener of onState) listener(state)
    })
  }

  hear(first)
  return {
    open() {
      isOpen = true
      current.open()
    },
    async close() {
      isOpen = false
      await Promise.all([lettingGo, current.close()])
    },
    send: (line) => current.send(line),
    onLines: (listener) => void onLines.push(listener),
    onState: (listener) => void onState.push(listener),
    state: () => current.state(),
    judged: (...counts) => current.judged(...counts),
    use(next) {
      const old = current
      current = next
      hear(next)
      for (const listener of onState) listener(next.state())
      if (!isOpen) return lettingGo
      lettingGo = Promise.all([lettingGo, old.close()]).then(() => {
        // Somebody may have chosen yet another meanwhile, or ended the daemon.
        if (isOpen && current === next) next.open()
      })
      return lettingGo
    },
  }
}
