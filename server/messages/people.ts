import { type Static, Type } from 'typebox'
import { KNOWN_BY, reason, who } from './act-kinds/act-kind.ts'
import { name, oneOf, orNull, secret, strict } from './schema.ts'

/** Each may do what the one before may, and more. */
export const ROLES = ['operator', 'reviewer', 'administrator'] as const
export type Role = (typeof ROLES)[number]

const role = oneOf(ROLES, { description: 'What this person may do.' })

/** Somebody enrolled. A name is never given to another person again. */
export const Person = strict({
  name: name('By which every act of theirs is entered.'),
  role,
  isActive: Type.Boolean({ description: 'False: retired, and signs in no more.' }),
})
export type Person = Static<typeof Person>

const CHANGES = ['added', 'role', 'password', 'retired', 'returned'] as const

/** A change of the people enrolled, as it is handed to the history. Never a password, nor what one is checked by. */
export const NewPersonChange = strict({
  schema: Type.Literal(1),
  at: Type.String({ description: 'ISO 8601 with offset.' }),
  who,
  whoKnownBy: oneOf(KNOWN_BY),
  person: Person.properties.name,
  change: oneOf(CHANGES, { description: 'What was changed.' }),
  role,
  reason,
  software: Type.String(),
})
export type NewPersonChange = Static<typeof NewPersonChange>

/** The same as the log keeps it: numbered and chained by hash. */
export const PersonChange = strict({
  id: Type.Integer({ minimum: 1, description: 'Place in the log of people.' }),
  ...NewPersonChange.properties,
  previousHash: Type.String(),
  hash: Type.String(),
})
export type PersonChange = Static<typeof PersonChange>

/** NIST SP 800-63B-4 asks for 15 where nothing else is asked (from memory); 10 and a slow hash serve a shop's own network. */
export const PASSWORD_MIN = 10
/** Long enough for any sentence, short enough that hashing it costs no more than another. */
export const PASSWORD_MAX = 200

const password = (description: string) =>
  secret(description, { minLength: PASSWORD_MIN, maxLength: PASSWORD_MAX })

const given = secret('Password.', { minLength: 1, maxLength: PASSWORD_MAX })

export const SignInAsk = strict({ name: Person.properties.name, password: given })
export type SignInAsk = Static<typeof SignInAsk>

/** The first administrator, who nobody is there to enrol. */
export const FirstAsk = strict({ name: Person.properties.name, password: password('New.') })
export type FirstAsk = Static<typeof FirstAsk>

export const AddPersonAsk = strict({
  who,
  name: Person.properties.name,
  role,
  password: password('The first one; whoever gets it changes it.'),
  reason,
})
export type AddPersonAsk = Static<typeof AddPersonAsk>

/** One change of one person. */
export const ChangePersonAsk = strict({
  who,
  name: Person.properties.name,
  change: oneOf(['role', 'password', 'retired', 'returned']),
  role: Type.Optional(role),
  password: Type.Optional(password('With the change `password`.')),
  reason,
})
export type ChangePersonAsk = Static<typeof ChangePersonAsk>

export const OwnPasswordAsk = strict({ old: given, password: password('New.') })
export type OwnPasswordAsk = Static<typeof OwnPasswordAsk>

/** Who uses this page. */
export const Here = strict({
  isOpenShop: Type.Boolean({ description: 'Nobody is enrolled: whoever acts types a name.' }),
  person: orNull(Person),
  mayBeFirst: Type.Boolean({ description: 'The first administrator can be enrolled from here.' }),
})
export type Here = Static<typeof Here>
