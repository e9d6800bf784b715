import type { History } from '../../server/history/history.ts'
import type { Passwords } from '../../server/people/passwords.ts'
import { makePeopleDesk } from '../../server/people/people-desk.ts'
import type { WebClock } from '../../server/web/clock.ts'
import { FAKE_SOFTWARE } from './fake-state.ts'

/** Passwords that cost nothing to check, for tests that are not about them. */
const fakePasswords: Passwords = {
  hash: async (password) => `fake ${password}`,
  fits: async (kept, password) => kept === `fake ${password}`,
}

export const makeFakePeople = (history: History, clock: WebClock) =>
  makePeopleDesk({
    ...{ history, clock, passwords: fakePasswords, software: FAKE_SOFTWARE },
    at: () => '2026-01-05T07:00:00.000+01:00',
  })
