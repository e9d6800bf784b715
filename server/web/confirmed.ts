import type { FastifyRequest } from 'fastify'
import { Type } from 'typebox'
import type { KnownBy } from '../messages/act-kinds/act-kind.ts'
import { PASSWORD_MAX } from '../messages/people.ts'
import { secret } from '../messages/schema.ts'
import { demandRole, knownBy } from './roles.ts'
import { type PeopleDoor, Refused } from './station-door.ts'

/** In the body of whatever asks for the password again. */
export const passwordAgain = {
  password: Type.Optional(
    secret('Of whoever is signed in, once more.', { maxLength: PASSWORD_MAX }),
  ),
}

/**
 * Whoever is signed in gives the password again, and counter-signs as a reviewer only; in an open shop nobody is.
 *
 * @returns What was asked, without the password, and how it is known who asks.
 * @throws Refused `not-your-role`, `bad-input`, `wrong-password`, `too-many-tries`
 */
export async function confirmed<B extends { readonly password?: string }>(
  request: FastifyRequest,
  people: PeopleDoor,
  body: B,
): Promise<[Omit<B, 'password'>, KnownBy]> {
  const { password, ...ask } = body
  if (request.person === null) return [ask, knownBy(request)]
  if ((ask as { role?: unknown }).role === 'counter-signed')
    demandRole(people, request.person, 'reviewer')
  if (password === undefined)
    throw new Refused('bad-input', 'password is missing: signing asks for it again.', 'password')
  await people.demandPassword(request.person.name, password)
  return [ask, 'password']
}
