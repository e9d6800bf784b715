import { type TProperties, Type } from 'typebox'
import { oneOf, personName, strict } from '../schema.ts'

/**
 * How it was known who acts. `typed`: whoever acted typed a name, which is no proof of identity; `signed-in`: from the
 * session of an enrolled person; `password`: the password was asked for again. Left out by versions that knew only typed names.
 */
export const KNOWN_BY = ['typed', 'signed-in', 'password'] as const
export type KnownBy = (typeof KNOWN_BY)[number]

export const who = personName(
  'Who acts. Typed, it attributes the act and is no proof of identity; of whoever is signed in it is taken from the session.',
)

export const reason = Type.String({
  minLength: 1,
  maxLength: 500,
  pattern: '\\S',
  description: 'Why, for whoever asks later.',
})

/** Names a record so that another one in its place shows. */
export const Named = strict({
  number: Type.Integer({ minimum: 1, description: 'Place in the history.' }),
  hash: Type.String({ description: 'Hash of that record, hexadecimal.' }),
})

const hashes = {
  previousHash: Type.String({ description: 'SHA-256 of the act before, hexadecimal.' }),
  hash: Type.String({ description: 'SHA-256 over the previous hash and this act (RFC 8785).' }),
}

const id = Type.Integer({
  minimum: 1,
  description: 'Place in the log of acts, from 1, without gaps.',
})

interface About<K extends string, P extends TProperties> {
  readonly kind: K
  /** Where it is asked for: /api/bends/:id/<address>. */
  readonly address: string
  readonly summary: string
  /** Who may, once people are enrolled. */
  readonly may: 'operator' | 'reviewer'
  /** The password is asked for again, once people are enrolled. */
  readonly byPassword?: true
  /** What it says besides who, when and about which bend. */
  readonly fields: P
  /** What the model was taught is to be made anew after it, so that it waits for the end of a bend. */
  readonly teaches?: true
  /** What was signed before is another thing after it, so that it is to be signed anew. */
  readonly unsigns?: true
}

/**
 * A kind of act about a recorded bend: one file, and one line in `acts.ts`. A kind that is in use never changes what it
 * says: entries are hashed as they were written.
 *
 * `ask`: as a person asks for it. `given`: as it is handed to the history. `kept`: as the log keeps it, numbered,
 * chained by hash, and tied to the chain of the bends.
 */
export function defineAct<const K extends string, P extends TProperties>(about: About<K, P>) {
  const given = {
    kind: Type.Literal(about.kind),
    schema: Type.Literal(1),
    at: Type.String({ description: 'ISO 8601 with offset.' }),
    who,
    whoKnownBy: Type.Optional(oneOf(KNOWN_BY, { description: 'How it was known who acts.' })),
    ...about.fields,
    bendId: Type.Integer({ minimum: 1, maximum: Number.MAX_SAFE_INTEGER }),
    software: Type.String(),
  }
  return {
    kind: about.kind,
    address: about.address,
    summary: about.summary,
    may: about.may,
    byPassword: about.byPassword ?? false,
    teaches: about.teaches ?? false,
    unsigns: about.unsigns ?? false,
    ask: strict({ who, ...about.fields }),
    given: strict(given),
    kept: strict({ id, ...given, bend: Named, after: Named, ...hashes }),
  }
}
