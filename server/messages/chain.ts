import { type Static, Type } from 'typebox'
import { oneOf, orNull, strict } from './schema.ts'

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
