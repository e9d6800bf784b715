import { type Static, Type } from 'typebox'
import { BendRow } from './bends.ts'
import {
  DAYS_BACK_MAX,
  FILTER_CHOICES,
  FILTER_NAME_MAX,
  FILTER_TEXT_MAX,
  PIECE_MAX,
} from './find-choices.ts'
import { oneOf, orNull, strict } from './schema.ts'

const text = (description: string) =>
  Type.Optional(Type.String({ maxLength: FILTER_NAME_MAX, description }))
const day = (description: string) =>
  Type.Optional(
    Type.String({
      pattern: '^\\d{4}-\\d\\d-\\d\\d$',
      description: `${description} 2026-01-31; the shop's own day.`,
    }),
  )
const oneOfThe = <K extends keyof typeof FILTER_CHOICES>(name: K, description: string) =>
  Type.Optional(oneOf(FILTER_CHOICES[name], { description }))

/** What a person may look for in the history. Conditions narrow each other; one left out asks for nothing. */
export const BendFilter = strict({
  part: text('This part, as recorded or as amended.'),
  piece: Type.Optional(
    Type.Integer({ minimum: 1, maximum: PIECE_MAX, description: 'As recorded or as amended.' }),
  ),
  lot: text('This lot, as recorded or as amended.'),
  die: text('Name of the die.'),
  station: text('Name of the bender.'),
  operator: text('Who bent, as recorded or as amended.'),
  verdict: oneOfThe('verdict', 'How it ended.'),
  from: Type.Optional(
    Type.String({ maxLength: 40, description: 'Started at or after, ISO 8601.' }),
  ),
  to: Type.Optional(Type.String({ maxLength: 40, description: 'Started before, ISO 8601.' })),
  firstDay: day('Started on this day or later:'),
  lastDay: day('Started on this day or earlier:'),
  daysBack: Type.Optional(
    Type.Integer({
      minimum: 1,
      maximum: DAYS_BACK_MAX,
      description:
        'Started on one of the last so many days of the shop, by its clock: 1 is today. Later starts fit too.',
    }),
  ),
  amended: oneOfThe('amended', 'Whether something of it was amended.'),
  voided: oneOfThe('voided', 'Whether it is void.'),
  signed: oneOfThe('signed', 'Whether it is signed as it stands now.'),
  noted: oneOfThe('noted', 'Whether somebody wrote a note to it.'),
  undecidedSince: Type.Optional(
    Type.String({
      maxLength: 40,
      description:
        'Not void, and nobody wrote a note to it at this time or later, ISO 8601: what became of it after a failed check is not said. A note that making an archive left says nothing of the bend.',
    }),
  ),
  due: oneOfThe(
    'due',
    "Whether its job's plan wants it inspected and nobody has yet; never one that is void or incomplete.",
  ),
  simulated: oneOfThe('simulated', 'Whether the built-in bench made it, and no tube was bent.'),
  readout: oneOfThe(
    'readout',
    'Made while the check of the readout was overdue, had failed, either of the two, was good; none: no check is known of.',
  ),
  clock: oneOfThe('clock', 'The clock was set back before it: see `setBackS`.'),
  text: Type.Optional(
    Type.String({
      maxLength: FILTER_TEXT_MAX,
      description:
        'Words, each of which stands somewhere in its part, piece, lot, operator, in a note or in a reason given since. Any script; capitals do not matter.',
    }),
  ),
})
export type BendFilter = Static<typeof BendFilter>

const EXPORT_FORMATS = ['csv', 'json'] as const
export type ExportFormat = (typeof EXPORT_FORMATS)[number]

/** A filter and the form of the file that it fills. */
export const ExportAsk = strict({
  ...BendFilter.properties,
  format: Type.Optional(
    oneOf(EXPORT_FORMATS, {
      description:
        'csv, with a byte order mark; or json: an array of whole records, each with what was done about it.',
    }),
  ),
})
export type ExportAsk = Static<typeof ExportAsk>

/** A filter and which page of what it finds. */
export const BendQuery = strict({
  ...BendFilter.properties,
  order: Type.Optional(oneOf(['newest', 'oldest'], { description: 'First; newest if left out.' })),
  before: Type.Optional(
    Type.Integer({ minimum: 1, description: 'Only bends older than this one.' }),
  ),
  after: Type.Optional(
    Type.Integer({ minimum: 1, description: 'Only bends newer than this one.' }),
  ),
  limit: Type.Integer({ minimum: 1, maximum: 500, default: 50 }),
})
export type BendQuery = Static<typeof BendQuery>

/** A row of the list, with what only a search knows of the bend. */
export const FoundRow = strict({
  ...BendRow.properties,
  isNoted: Type.Optional(Type.Literal(true, { description: 'Somebody wrote a note to it.' })),
  isDue: Type.Optional(
    Type.Literal(true, { description: 'It is to be inspected, and nobody has yet.' }),
  ),
  setBackS: Type.Optional(
    Type.Number({
      description: 'The clock was set back by at least so much before this bend, seconds.',
    }),
  ),
})
export type FoundRow = Static<typeof FoundRow>

export const BendPage = strict({
  bends: Type.Array(FoundRow),
  nextBefore: orNull(
    Type.Integer({
      description: 'Newest first: pass as `before` for the next page; null at the end.',
    }),
  ),
  nextAfter: orNull(
    Type.Integer({
      description: 'Oldest first: pass as `after` for the next page; null at the end.',
    }),
  ),
  total: Type.Integer({ description: 'How many bends fit the filter.' }),
})
export type BendPage = Static<typeof BendPage>

const count = (description: string) => Type.Integer({ minimum: 0, description })

/** What all bends that a filter finds have in common. */
export const BendSummary = strict({
  total: count('How many bends fit the filter.'),
  verdicts: strict({
    in: count('In tolerance.'),
    under: count('Under.'),
    over: count('Over.'),
    incomplete: count('Not finished.'),
  }),
  earliest: orNull(Type.String({ description: 'Start of the earliest, ISO 8601 with offset.' })),
  latest: orNull(Type.String({ description: 'Start of the latest.' })),
  void: count('Of all: void.'),
  measured: count(
    'Of all: with a released angle, and not void. The two figures below are of these.',
  ),
  meanOffDeg: orNull(Type.Number({ description: 'Mean of released less wanted, degrees.' })),
  sdOffDeg: orNull(
    Type.Number({ minimum: 0, description: 'Its standard deviation (n - 1); null below two.' }),
  ),
  without: Type.Array(
    strict({
      name: Type.String({ description: 'A condition of the filter.' }),
      total: count('How many would fit without it.'),
    }),
    { description: 'Only where nothing fits: which condition to drop.' },
  ),
})
export type BendSummary = Static<typeof BendSummary>

const names = (description: string) => Type.Array(Type.String(), { description })

/** The names that the history knows, newest first; at most 200 of each. */
export const KnownNames = strict({
  part: names('Parts.'),
  lot: names('Lots.'),
  die: names('Dies.'),
  station: names('Benders.'),
  operator: names('Who bent.'),
})
export type KnownNames = Static<typeof KnownNames>
