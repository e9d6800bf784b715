import type { SignInAsk } from '../../server/messages/people.ts'
import { type App, makeWeb, type TestWebOptions } from './web.ts'

export const ADMINISTRATOR: SignInAsk = { name: 'Ada', password: 'rails and ladders' }
export const REVIEWER: SignInAsk = { name: 'Rosa', password: 'second pair of eyes' }
export const OPERATOR: SignInAsk = { name: 'Olaf', password: 'ninety degrees' }

/** The cookie of a new session. */
export async function signIn(app: App, payload: SignInAsk): Promise<string> {
  const answer = await app.inject({ method: 'POST', url: '/api/session', payload })
  if (answer.statusCode !== 200) throw new Error(answer.body)
  return String(answer.headers['set-cookie']).split(';', 1)[0] ?? ''
}

/** A web where an administrator, a reviewer and an operator are enrolled. */
export async function withPeople(options: TestWebOptions = {}) {
  const web = makeWeb({ auto: false, ...options })
  await web.people.first(ADMINISTRATOR)
  for (const [person, role] of [
    [REVIEWER, 'reviewer'],
    [OPERATOR, 'operator'],
  ] as const)
    await web.people.add({ who: 'Ada', ...person, role, reason: 'New.' }, 'signed-in')
  return web
}
