import { makeAnnouncer } from './announcer.ts'
import type { Link } from './link.ts'

/** Stands in for a link whose port somebody else needs for a moment. */
export function makeIdleLink(path: string): Link {
  const { onLines, onState, state, set } = makeAnnouncer(path)
  set({ state: 'waiting', reason: `${path} is being listened at.`, hint: 'Wait some seconds.' })
  return {
    ...{ onLines, onState, state },
    open: () => undefined,
    close: async () => undefined,
    send: () => false,
    judged: () => undefined,
  }
}
