import { isoWithOffset } from '../../history/iso-time.ts'
import {
  type Mapping,
  NOTEBOOK_FIELDS,
  type NotebookAsk,
  type NotebookField,
  type NotebookProblem,
} from '../../messages/notebook.ts'
import { readNumber, readTime } from './read-cell.ts'

/** One line, read. Angles in degrees. */
export interface NotebookLine {
  readonly line: number
  readonly startedAt: string
  readonly part: string
  readonly piece: number
  readonly bendNumber: number
  /** Null: that of the set-up. */
  readonly lot: string | null
  readonly operator: string
  readonly wantedDeg: number
  readonly toleranceDeg: number
  readonly commandedDeg: number | null
  readonly peakDeg: number | null
  readonly releasedDeg: number
  readonly hits: number
}

const NAME_LENGTH_MAX = 80

interface Range {
  readonly least: number
  readonly most: number
  readonly isWhole?: true
}

/** The limits that records have. */
const RANGES = {
  piece: { least: 1, most: 1_000_000, isWhole: true },
  bendNumber: { least: 1, most: 999, isWhole: true },
  wantedDeg: { least: 0.5, most: 200 },
  toleranceDeg: { least: 0.05, most: 20 },
  commandedDeg: { least: 0, most: 360 },
  peakDeg: { least: 0, most: 360 },
  releasedDeg: { least: 0, most: 360 },
  hits: { least: 1, most: 50, isWhole: true },
} as const satisfies Partial<Record<NotebookField, Range>>

interface Style extends Pick<NotebookAsk, 'decimal' | 'dates' | 'mapping'> {
  /** A bend cannot have been made later, milliseconds since 1970. */
  readonly nowMs: number
}

/** Without these there is no record. */
const NEEDED: readonly NotebookField[] = [
  ...(['startedAt', 'part', 'operator', 'wantedDeg', 'toleranceDeg', 'releasedDeg'] as const),
]

function isChosen(mapping: Mapping, field: NotebookField): boolean {
  const { column, value = '' } = mapping[field] ?? {}
  return column !== undefined || value.trim() !== ''
}

/** What no line can have, since nothing says where it stands: told once, at the header. */
export const notChosen = (line: number, mapping: Mapping): NotebookProblem[] =>
  NEEDED.filter((field) => !isChosen(mapping, field)).map((field) => ({
    ...{ line, field },
    sentence: 'Nothing says where this stands: choose its column, or give one value for all lines.',
  }))

/** What stands for a letter that nobody could read: once on record it would be lost for good. */
const UNREADABLE = '\uFFFD'

/** Reads the cells of one line and gathers what is wrong with them. */
function openLine(line: number, cells: readonly string[], style: Style) {
  const problems: NotebookProblem[] = []
  const refuse = (field: NotebookField, sentence: string): null => {
    problems.push({ line, field, sentence })
    return null
  }
  /** Null where the notebook says nothing. */
  const cellOf = (field: NotebookField): string | null => {
    const { column, value } = (style.mapping as Mapping)[field] ?? {}
    const text = column === undefined ? value : cells[column]
    return text === undefined || text.trim() === '' ? null : text.trim()
  }
  return {
    problems,
    cellOf,
    needed(field: NotebookField): string | null {
      const cell = cellOf(field)
      if (cell !== null || !isChosen(style.mapping, field)) return cell
      return refuse(field, 'There is nothing here: fill it in, or give one value for all lines.')
    },
    /** Whether every letter that would be recorded could be read. */
    isLegible(): boolean {
      for (const field of NOTEBOOK_FIELDS)
        if (cellOf(field)?.includes(UNREADABLE))
          refuse(
            field,
            'A letter here could not be read: save the file as UTF-8, or write the letter again.',
          )
      return problems.length === 0
    },
    name(field: NotebookField, cell: string | null): string | null {
      if (cell === null || cell.length <= NAME_LENGTH_MAX) return cell
      return refuse(field, `Longer than ${NAME_LENGTH_MAX} characters: shorten it.`)
    },
    number(field: keyof typeof RANGES, cell: string | null): number | null {
      if (cell === null) return null
      const value = readNumber(cell, style)
      const { least, most, ...range }: Range = RANGES[field]
      if (value === null)
        return refuse(field, `"${cell}" is no number with a decimal ${style.decimal}.`)
      if (!(value >= least && value <= most))
        return refuse(field, `${cell} is not within ${least} and ${most}.`)
      if (range.isWhole && !Number.isInteger(value))
        return refuse(field, `${cell} is no whole number.`)
      return value
    },
    time(field: NotebookField, cell: string | null): string | null {
      if (cell === null) return null
      const time = readTime(cell, style)
      if (time === null)
        return refuse(field, `"${cell}" is no day of the calendar, ${style.dates}.`)
      if (Date.parse(time) <= style.nowMs) return time
      const today = isoWithOffset(style.nowMs).slice(0, 10)
      return refuse(field, `"${cell}" is still to come, today is ${today}: mend the day.`)
    },
  }
}

/** One line of the notebook, or everything that is wrong with it. */
export function readLine(
  line: number,
  cells: readonly string[],
  style: Style,
): NotebookLine | readonly NotebookProblem[] {
  const read = openLine(line, cells, style)
  if (!read.isLegible()) return read.problems
  const startedAt = read.time('startedAt', read.needed('startedAt'))
  const part = read.name('part', read.needed('part'))
  const piece = read.number('piece', read.cellOf('piece') ?? '1')
  const bendNumber = read.number('bendNumber', read.cellOf('bendNumber') ?? '1')
  const lot = read.name('lot', read.cellOf('lot'))
  const operator = read.name('operator', read.needed('operator'))
  const wantedDeg = read.number('wantedDeg', read.needed('wantedDeg'))
  const toleranceDeg = read.number('toleranceDeg', read.needed('toleranceDeg'))
  const commandedDeg = read.number('commandedDeg', read.cellOf('commandedDeg'))
  const peakDeg = read.number('peakDeg', read.cellOf('peakDeg'))
  const releasedDeg = read.number('releasedDeg', read.needed('releasedDeg'))
  const hits = read.number('hits', read.cellOf('hits') ?? '1')
  const isWhole =
    startedAt !== null &&
    part !== null &&
    piece !== null &&
    bendNumber !== null &&
    operator !== null &&
    wantedDeg !== null &&
    toleranceDeg !== null &&
    releasedDeg !== null &&
    hits !== null
  if (!(isWhole && read.problems.length === 0)) return read.problems
  return {
    ...{ line, startedAt, part, piece, bendNumber, lot, operator },
    ...{ wantedDeg, toleranceDeg, commandedDeg, peakDeg, releasedDeg, hits },
  }
}
