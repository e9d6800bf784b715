import { type Static, Type } from 'typebox'
import { Bend, Verdict } from './bends.ts'
import { name, oneOf, orNull, personName, strict } from './schema.ts'

/** What a line of an old notebook may say of a bend. */
export const NOTEBOOK_FIELDS = [
  'startedAt',
  'part',
  'piece',
  'bendNumber',
  'lot',
  'operator',
  'wantedDeg',
  'toleranceDeg',
  'commandedDeg',
  'peakDeg',
  'releasedDeg',
  'hits',
] as const
export type NotebookField = (typeof NOTEBOOK_FIELDS)[number]

/** Where a field comes from: a column of the file, or one value for all lines. One of both. */
const Source = strict({
  column: Type.Optional(
    Type.Integer({ minimum: 0, maximum: 199, description: 'Column, the first is 0.' }),
  ),
  value: Type.Optional(Type.String({ maxLength: 80, description: 'The same for all lines.' })),
})
export type Source = Static<typeof Source>

/** Where each field comes from; what is left out is not in the notebook. */
const Mapping = strict(
  Object.fromEntries(NOTEBOOK_FIELDS.map((field) => [field, Type.Optional(Source)])),
)
export type Mapping = { readonly [F in NotebookField]?: Source }

/** Characters: some 10,000 lines of a spreadsheet. */
export const NOTEBOOK_LENGTH_MAX = 2_000_000

/** An old notebook as CSV, and how it is to be read. */
export const NotebookAsk = strict({
  file: name('Name of the file, for the record.'),
  text: Type.String({ maxLength: NOTEBOOK_LENGTH_MAX, description: 'The file, CSV (RFC 4180).' }),
  separator: oneOf(['comma', 'semicolon', 'tab'], { description: 'Between columns.' }),
  decimal: oneOf(['point', 'comma'], { description: 'Of its numbers.' }),
  dates: oneOf(['year-first', 'day-first', 'month-first'], {
    description: '2019-03-31, 31.3.2019 or 3/31/2019, each with or without a time.',
  }),
  setupId: Type.Integer({
    minimum: 1,
    description: 'Number of the set-up it was bent with; a line may name another lot.',
  }),
  mapping: Type.Unsafe<Mapping>(Mapping),
})
export type NotebookAsk = Static<typeof NotebookAsk>

const NotebookProblem = strict({
  line: Type.Integer({ minimum: 1, description: 'Line of the file, from 1.' }),
  field: orNull(oneOf(NOTEBOOK_FIELDS)),
  sentence: Type.String(),
})
export type NotebookProblem = Static<typeof NotebookProblem>

/** A line as it would be recorded. */
const NotebookRow = strict({
  line: Type.Integer({ minimum: 1 }),
  ...Type.Pick(Bend, [
    'startedAt',
    'part',
    'piece',
    'bendNumber',
    'lot',
    'operator',
    'wantedDeg',
    'toleranceDeg',
    'peakDeg',
    'releasedDeg',
  ]).properties,
  verdict: Verdict,
  cannotTeachWhy: orNull(Type.String({ description: 'Null: it can teach springback.' })),
})

/** What would be imported. Nothing is recorded. */
export const NotebookPreview = strict({
  header: Type.Array(Type.String(), { description: 'Its columns, as the first line names them.' }),
  guess: Type.Unsafe<Mapping>(Mapping),
  lines: Type.Integer({ minimum: 0, description: 'Lines below the header.' }),
  canTeach: Type.Integer({ minimum: 0, description: 'How many of them can teach springback.' }),
  rows: Type.Array(NotebookRow, { description: 'The first lines that can be read.' }),
  problems: Type.Array(NotebookProblem, { description: 'The first of them.' }),
  problemCount: Type.Integer({ minimum: 0, description: 'All of them: 0, or nothing is taken.' }),
})
export type NotebookPreview = Static<typeof NotebookPreview>

export const NotebookTake = strict({
  ...NotebookAsk.properties,
  who: personName('Who imports it. This attributes it; it is no proof of identity.'),
  teach: Type.Boolean({ description: 'Whether the lines are to teach springback.' }),
})
export type NotebookTake = Static<typeof NotebookTake>

export const NotebookTaken = strict({
  bends: Type.Integer({ minimum: 1 }),
  first: Type.Integer({ minimum: 1, description: 'Number of the first record.' }),
  last: Type.Integer({ minimum: 1 }),
})
export type NotebookTaken = Static<typeof NotebookTaken>
