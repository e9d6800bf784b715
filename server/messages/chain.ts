import { type Static, Type } from 'typebox'
import { name, oneOf, orNull, strict } from './schema.ts'

/** What an input or output carries: numbers of a unit, or items of a name. */
const Carried = {
  name: Type.String(),
  carries: oneOf(['number', 'item']),
  of: Type.String({ description: 'Unit of the numbers, or name of the items.' }),
  help: Type.String(),
}

const Input = strict({
  ...Carried,
  from: orNull(Type.String({ description: 'Block and output that it is connected to.' })),
  isOptional: Type.Boolean({ description: 'Whether it may stay unconnected.' }),
})

/** A block of the running chain, as it was checked. */
export const ChainBlock = strict({
  id: Type.String({ description: 'Its name in this chain.' }),
  kind: Type.String({ description: 'Which block of the catalogue it is.' }),
  summary: Type.String(),
  parameters: Type.Record(Type.String(), Type.Unknown(), {
    description: 'All of them, those left out in the file at their defaults.',
  }),
  schema: Type.Record(Type.String(), Type.Unknown(), {
    description: 'JSON Schema of the parameters: range, default and help of each.',
  }),
  inputs: Type.Array(Input),
  outputs: Type.Array(strict(Carried)),
  delays: Type.Boolean({ description: 'Whether it lets a loop pass through it.' }),
})
export type ChainBlock = Static<typeof ChainBlock>

/** The chain that runs, from the wire to the record. */
export const ChainView = strict({
  revision: Type.String({ description: 'Name and revision, as every record names it.' }),
  note: Type.String(),
  blocks: Type.Array(ChainBlock, { description: 'In the order in which they are stepped.' }),
  file: Type.Record(Type.String(), Type.Unknown(), { description: 'The chain file itself.' }),
})
export type ChainView = Static<typeof ChainView>

const count = (description: string) => Type.Integer({ minimum: 0, description })

/** What went over the outputs, since somebody first looked. */
export const ChainSeen = strict({
  revision: Type.String(),
  nowS: Type.Number({ description: 'The station’s clock, seconds, as the source times below.' }),
  outputs: Type.Array(
    strict({
      block: Type.String(),
      port: Type.String(),
      good: count('Good values, and items.'),
      uncertain: count('Uncertain values.'),
      bad: count('Bad values.'),
      value: orNull(Type.Number({ description: 'The last one; null: none came, or items do.' })),
      quality: Type.Integer({ minimum: 0, maximum: 3, description: 'Of the last; 3: none came.' }),
      timeS: orNull(Type.Number({ description: 'Its source time, seconds.' })),
    }),
  ),
})
export type ChainSeen = Static<typeof ChainSeen>

const decided = {
  who: name('Who changes the chain. This attributes it; it is no proof of identity.'),
  why: Type.String({
    minLength: 1,
    maxLength: 500,
    pattern: '\\S',
    description: 'Why, for whoever asks later.',
  }),
}

/** A revision of the chain as it is handed to the history. */
export const NewChainRevision = strict({
  schema: Type.Literal(1),
  at: Type.String({ description: 'ISO 8601 with offset.' }),
  station: name('Which bender.'),
  ...decided,
  name: Type.String({ minLength: 1, maxLength: 40 }),
  chain: Type.String({ maxLength: 200_000, description: 'The chain file, as JSON text.' }),
  software: Type.String(),
})
export type NewChainRevision = Static<typeof NewChainRevision>

/** The same as the log keeps it. */
export const ChainRevision = strict({
  id: Type.Integer({ minimum: 1, description: 'Place in the log of revisions.' }),
  ...NewChainRevision.properties,
  revision: Type.Integer({ minimum: 2, description: 'Of its name; 1 is the shipped chain.' }),
  previousHash: Type.String(),
  hash: Type.String(),
})
export type ChainRevision = Static<typeof ChainRevision>
