import type { Clock } from '../../server/link/link.ts'

export interface SimulatedClock extends Clock {
  /** Lets time go by; what falls due is done in its order, each at its own moment. */
  advance(seconds: number): void
  /** The same, with a turn of the event loop after each thing done, so that streams and promises get theirs. */
  run(seconds: number): Promise<void>
  /** Time goes by while one thing is done: nothing else gets its turn meanwhile, and what is due comes late. */
  stall(seconds: number): void
  /** Timers that still wait: none, once everything was closed. */
  waiting(): number
}

const EPOCH_MS = Date.UTC(2024, 0, 15, 8)

/** A clock that stands still until it is told to go on. */
export function makeSimulatedClock(startS = 1000): SimulatedClock {
  let nowS = startS
  let due: { readonly atS: number; readonly act: () => void }[] = []

  function takeNext(endS: number): (() => void) | null {
    const next = due.reduce<(typeof due)[number] | null>(
      (first, entry) => (first === null || entry.atS < first.atS ? entry : first),
      null,
    )
    if (next === null || next.atS > endS) return null
    due = due.filter((entry) => entry !== next)
    nowS = Math.max(nowS, next.atS)
    return next.act
  }
  return {
    nowS: () => nowS,
    wallMs: () => EPOCH_MS + Math.round((nowS - startS) * 1000),
    after(seconds, act) {
      const entry = { atS: nowS + Math.max(0, seconds), act }
      due.push(entry)
      return {
        cancel() {
          due = due.filter((other) => other !== entry)
        },
      }
    },
    advance(seconds) {
      const endS = nowS + seconds
      for (let act = takeNext(endS); act; act = takeNext(endS)) act()
      nowS = Math.max(nowS, endS)
    },
    stall(seconds) {
      nowS += seconds
    },
    async run(seconds) {
      const endS = nowS + seconds
      await turn()
      for (let act = takeNext(endS); act; act = takeNext(endS)) {
        act()
        await turn()
      }
      nowS = Math.max(nowS, endS)
      await turn()
    },
    waiting: () => due.length,
  }
}

/** Streams need a few turns to hand a chunk through a pipe of three. */
async function turn(): Promise<void> {
  for (let turns = 0; turns < 4; turns++) await new Promise((resolve) => setImmediate(resolve))
}
