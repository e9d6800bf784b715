import type { WebClock } from '../../server/web/clock.ts'

export interface ManualClock extends WebClock {
  /** Lets time go by; what falls due is done in its order. */
  advance(seconds: number): void
}

/** A clock that stands still until it is told to go on. */
export function makeManualClock(): ManualClock {
  let nowS = 0
  const due: { atS: number; act: () => void }[] = []
  return {
    nowS: () => nowS,
    after(seconds, act) {
      const entry = { atS: nowS + seconds, act }
      due.push(entry)
      return {
        cancel() {
          const place = due.indexOf(entry)
          if (place >= 0) due.splice(place, 1)
        },
      }
    },
    advance(seconds) {
      const endS = nowS + seconds
      for (;;) {
        due.sort((a, b) => a.atS - b.atS)
        const next = due[0]
        if (!next || next.atS > endS) break
        due.shift()
        nowS = next.atS
        next.act()
      }
      nowS = endS
    },
  }
}
