import { type Static, Type } from 'typebox'
import { BendTrace } from './bends.ts'
import { name, oneOf, orNull, personName, strict } from './schema.ts'

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

/** A chain that is to be put in force when the bend in hand is done. */
const Waiting = strict({
  who: Type.String(),
  why: Type.String(),
  revision: Type.String({ description: 'Name and number that it will have.' }),
})
export type ChainWaiting = Static<typeof Waiting>

/** A block that does not come with the program. */
const OwnBlock = strict({
  kind: Type.String(),
  file: Type.String({ description: 'Its file in the folder that the daemon was given.' }),
  sha256: Type.String({ description: 'Of that file.' }),
  failures: Type.Integer({ minimum: 0, description: 'Since the daemon began.' }),
  lastFailure: orNull(Type.String()),
})

/** A chain as it was checked, from the wire to the record. */
export const ChainView = strict({
  revision: Type.String({ description: 'Name and revision, as every record names it.' }),
  note: Type.String(),
  blocks: Type.Array(ChainBlock, { description: 'In the order in which they are stepped.' }),
  file: Type.Record(Type.String(), Type.Unknown(), { description: 'The chain file itself.' }),
  isShipped: Type.Boolean({ description: 'Whether it is the one that comes with the program.' }),
  waiting: orNull(Waiting),
  own: Type.Array(OwnBlock, { description: 'Blocks that do not come with the program.' }),
})
export type ChainView = Static<typeof ChainView>

const count = (description: string) => Type.Integer({ minimum: 0, description })

const Tap = strict({
  block: Type.String(),
  sent: count('What was let out: values and events, or times an output was told on.'),
  waiting: count('What waits to be let out.'),
  dropped: count('What was left out: too much waited, or it was not the moment.'),
  refused: count('What the other end refused for good.'),
  trouble: orNull(Type.String({ description: 'One sentence: why nothing gets out now.' })),
})
/** How a block that lets things out of the chain is doing. */
export type TapCount = Static<typeof Tap>

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
  taps: Type.Array(Tap, { description: 'The blocks that let things out of the chain.' }),
})
export type ChainSeen = Static<typeof ChainSeen>

const KindPort = {
  name: Type.String(),
  carries: oneOf(['number', 'item']),
  of: orNull(Type.String({ description: 'Unit or item; null: as the parameter below says.' })),
  unitFrom: orNull(Type.String({ description: 'The parameter that names its unit.' })),
  isRate: Type.Boolean({ description: 'Of that unit, a second.' }),
  help: Type.String(),
}

/** A block of the catalogue. */
export const ChainKind = strict({
  kind: Type.String(),
  summary: Type.String(),
  schema: Type.Record(Type.String(), Type.Unknown()),
  delays: Type.Boolean(),
  inputs: Type.Array(strict({ ...KindPort, isOptional: Type.Boolean() })),
  outputs: Type.Array(strict(KindPort)),
})
export type ChainKind = Static<typeof ChainKind>

const ExamplePort = strict({
  name: Type.String(),
  values: Type.Array(orNull(Type.Number()), { description: 'By row; null: none.' }),
  bad: Type.Array(Type.Boolean(), { description: 'By row, of an output.' }),
  items: Type.Array(strict({ timeS: Type.Number(), text: Type.String() })),
})

/** A block of the catalogue, with what it makes of a test signal. */
export const BlockReference = strict({
  ...ChainKind.properties,
  delaySamples: orNull(Type.Number({ description: 'With its defaults; null: it depends.' })),
  ownFile: orNull(Type.String({ description: 'Where it does not come with the program.' })),
  example: orNull(
    strict({
      parameters: Type.Record(Type.String(), Type.Unknown()),
      timeS: Type.Array(Type.Number(), { description: 'Of each row, seconds.' }),
      inputs: Type.Array(ExamplePort),
      outputs: Type.Array(ExamplePort),
      told: Type.Array(Type.String(), { description: 'What an end of the chain hands on.' }),
    }),
  ),
})
export type BlockReference = Static<typeof BlockReference>

const decided = {
  who: personName('Who changes the chain. This attributes it; it is no proof of identity.'),
  why: Type.String({
    minLength: 1,
    maxLength: 500,
    pattern: '\\S',
    description: 'Why, for whoever asks later.',
  }),
}

const File = Type.Unknown({ description: 'A chain file.' })

export const ChainDraft = strict({ file: File })

export const ChainAsk = strict({ file: File, ...decided })
export type ChainAsk = Static<typeof ChainAsk>

export const ChainApplied = strict({
  when: oneOf(['now', 'after-this-bend']),
  revision: Type.String({ description: 'Of the chain that runs now.' }),
})
export type ChainApplied = Static<typeof ChainApplied>

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

/** One line of the list of revisions. */
export const ChainRevisionRow = strict({
  id: Type.Integer({ minimum: 1 }),
  revision: Type.String({ description: 'Name and number, as records name it.' }),
  at: Type.String(),
  who: Type.String(),
  why: Type.String(),
  isInForce: Type.Boolean(),
})
export type ChainRevisionRow = Static<typeof ChainRevisionRow>

export const ChainRevisionFile = strict({ ...ChainRevisionRow.properties, file: File })
export type ChainRevisionFile = Static<typeof ChainRevisionFile>

export const ChainProofAsk = strict({
  file: File,
  bends: Type.Array(Type.Integer({ minimum: 1, maximum: Number.MAX_SAFE_INTEGER }), {
    minItems: 1,
    maxItems: 20,
    uniqueItems: true,
    description: 'Numbers of recorded bends.',
  }),
})
export type ChainProofAsk = Static<typeof ChainProofAsk>

const deg = (description: string) => orNull(Type.Number({ description }))

const ProofOfBend = strict({
  datumDeg: deg('Readout at the datum, degrees.'),
  peakDeg: deg('Of the last go, degrees from the datum.'),
  releasedDeg: deg('Of the last go.'),
  cueDeg: deg('Where the stop was called in the last go.'),
  cueS: deg('When it was called last, seconds from the datum.'),
  trace: BendTrace,
})
export type ProofOfBend = Static<typeof ProofOfBend>

/** A bend as it came out of the chain that recorded it, and as it comes out of the draft. */
export const ProvedBend = strict({
  id: Type.Integer({ minimum: 1 }),
  before: orNull(ProofOfBend),
  after: orNull(ProofOfBend),
  why: orNull(Type.String({ description: 'What keeps it from being compared.' })),
})
export type ProvedBend = Static<typeof ProvedBend>

export const ChainProof = strict({ bends: Type.Array(ProvedBend) })
export type ChainProof = Static<typeof ChainProof>
