import type { WebClock } from './clock.ts'

/** Five tries in 2 min at a million codes: one chance in 200 000 for whoever guesses. */
const TRIES_MAX = 5
const TRIES_WITHIN_S = 120
/** Each lock-out lasts twice as long as the one before, so that a patient guesser gains little. */
const LOCK_MAX_S = 3600

/** Wrong tries of all callers together: a guesser with many addresses gains nothing by them. */
export function makeTries(clock: WebClock, refuse: (leftS: number) => never) {
  let wrongAtS: number[] = []
  let lockS = TRIES_WITHIN_S
  let lockedUntilS = Number.NEGATIVE_INFINITY
  return {
    demandUnlocked() {
      const leftS = lockedUntilS - clock.nowS()
      if (leftS > 0) refuse(Math.ceil(leftS))
    },
    wrong() {
      const nowS = clock.nowS()
      wrongAtS = [...wrongAtS.filter((atS) => nowS - atS < TRIES_WITHIN_S), nowS]
      if (wrongAtS.length < TRIES_MAX) return
      lockedUntilS = nowS + lockS
      lockS = Math.min(2 * lockS, LOCK_MAX_S)
      wrongAtS = []
    },
    right() {
      wrongAtS = []
      lockS = TRIES_WITHIN_S
      lockedUntilS = Number.NEGATIVE_INFINITY
    },
  }
}
