import type { Link, ReceivedLine, WireState } from './link.ts'

/** The part that is alike in every link: who listens, and how the wire is. */
export interface Announcer extends Pick<Link, 'onLines' | 'onState' | 'state'> {
  lines(lines: readonly ReceivedLine[]): void
  /** Tells the listeners when state, source, reason or hint change; counters alone are not news. */
  set(change: Partial<WireState>): void
}

export function makeAnnouncer(source: string): Announcer {
  const onLines: ((lines: readonly ReceivedLine[]) => void)[] = []
  const onState: ((state: WireState) => void)[] = []
  let state: WireState = {
    state: 'opening',
    source,
    reason: '',
    hint: '',
    overlong: 0,
    reconnects: 0,
  }
  return {
    onLines: (listener) => void onLines.push(listener),
    onState: (listener) => void onState.push(listener),
    state: () => state,
    lines(lines) {
      if (lines.length > 0) for (const listener of onLines) listener(lines)
    },
    set(change) {
      const before = state
      state = { ...state, ...change }
      const isNews = NEWS.some((key) => before[key] !== state[key])
      if (isNews) for (const listener of onState) listener(state)
    },
  }
}

const NEWS = ['state', 'source', 'reason', 'hint'] as const
