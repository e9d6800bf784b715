import { makeRandom } from '../../firmware-protocol/bench/random.ts'
import { HistoryError } from '../../server/history/errors.ts'
import type { History } from '../../server/history/history.ts'
import type { BenchLink } from '../../server/link/bench-link.ts'
import type { Link, ReceivedLine, WireState } from '../../server/link/link.ts'

export interface NoisyLink extends Link {
  /** Pulls the plug, or puts it back. */
  plug(isIn: boolean): void
}

/** Share of lines that a bad cable loses, and that it damages. */
const LOST = 0.002
const DAMAGED = 0.002

/** A bad cable between the board and the daemon, by seed. */
export function makeNoisyLink(bench: BenchLink, seed: number): NoisyLink {
  const random = makeRandom(seed, 'cable')
  let isIn = true
  let tellState: (state: WireState) => void = () => undefined
  const damage = (text: string) => {
    const place = Math.floor(random.between(0, text.length))
    return `${text.slice(0, place)}?${text.slice(place + 1)}`
  }
  const through = ({ arrivalS, text }: ReceivedLine): ReceivedLine[] => {
    const chance = random.between(0, 1)
    if (chance < LOST) return []
    return [{ arrivalS, text: chance < LOST + DAMAGED ? damage(text) : text }]
  }
  const state = (): WireState =>
    isIn ? bench.state() : { ...bench.state(), state: 'lost', reason: 'Pulled.', hint: 'Plug in.' }
  return {
    open: bench.open,
    close: bench.close,
    send: (line) => isIn && bench.send(line),
    onLines(listener) {
      bench.onLines((lines) => {
        const left = isIn ? lines.flatMap(through) : []
        if (left.length > 0) listener(left)
      })
    },
    onState(listener) {
      tellState = listener
      bench.onState(() => listener(state()))
    },
    state,
    judged: bench.judged,
    plug(next) {
      isIn = next
      tellState(state())
    },
  }
}

export interface FailingHistory extends History {
  /** Fills the disk, or empties it. */
  full(isFull: boolean): void
}

/**
 * A disk that can be filled: whatever would write is then refused, as the real one refuses it. And a slow one.
 *
 * @param wait Called before each write, for as long as it takes.
 */
export function makeFailingHistory(history: History, wait = () => {}): FailingHistory {
  let isFull = false
  const unless = <A extends unknown[], R>(write: (...args: A) => R) => {
    return (...args: A): R => {
      wait()
      if (isFull) throw new HistoryError('HISTORY_DISK_FULL', { at: 'the test disk' })
      return write(...args)
    }
  }
  return {
    ...history,
    append: unless(history.append),
    openBend: unless(history.openBend),
    closeOpenBend: unless(history.closeOpenBend),
    remember: unless(history.remember),
    addSetup: unless(history.addSetup),
    full(next) {
      isFull = next
    },
  }
}
