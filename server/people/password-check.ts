import type { WebClock } from '../web/clock.ts'
import { refused } from '../web/refuse.ts'
import { Refused } from '../web/station-door.ts'
import { makeTries } from '../web/tries.ts'
import type { Passwords } from './passwords.ts'

/** Wrong passwords of one name lock that name only; all names that nobody has are one. */
const NOBODY = Symbol('nobody')

/** Whether a password fits, with a lock-out after wrong ones. It says and takes the same for a name that nobody has. */
export function makePasswordCheck(
  clock: WebClock,
  passwords: Passwords,
  secretOf: (name: string) => string | null,
) {
  const tries = new Map<string | symbol, ReturnType<typeof makeTries>>()

  function triesOf(key: string | symbol) {
    const known =
      tries.get(key) ??
      makeTries(clock, (leftS) => {
        const sentence = `Too many wrong passwords; try again in ${leftS} s.`
        throw new Refused('too-many-tries', sentence, 'password')
      })
    tries.set(key, known)
    return known
  }

  /** @throws Refused `wrong-password`, `too-many-tries` */
  return async function demand(name: string, password: string): Promise<void> {
    const secret = secretOf(name)
    const mine = triesOf(secret === null ? NOBODY : name)
    mine.demandUnlocked()
    // Counted before it is looked at: many tries at once are not one.
    mine.wrong()
    if (!(await passwords.fits(secret, password))) throw refused('wrong-password')
    // Replaced or retired during the wait: no session may outlive that.
    if (secretOf(name) !== secret) throw refused('wrong-password')
    mine.right()
  }
}
