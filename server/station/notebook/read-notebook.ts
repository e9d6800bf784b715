import type { NotebookAsk, NotebookPreview, NotebookProblem } from '../../messages/notebook.ts'
import type { StoredSetup } from '../../messages/setup.ts'
import { Refused } from '../../web/station-door.ts'
import { guessMapping } from './guess-mapping.ts'
import { lessonOf } from './imported-bend.ts'
import { type NotebookLine, notChosen, readLine } from './read-line.ts'
import { readTable } from './read-table.ts'
import { repeatedLines } from './repeated-lines.ts'

const ROWS_SHOWN = 20
const PROBLEMS_SHOWN = 50

/** A file, read. */
interface Notebook {
  readonly header: readonly string[]
  readonly count: number
  readonly lines: readonly NotebookLine[]
  readonly problems: readonly NotebookProblem[]
}

/** @param nowMs of the shop's clock, milliseconds since 1970: no bend was made later. */
export function readNotebook(ask: NotebookAsk, nowMs: number): Notebook {
  const { header, rows, problems } = readTable(ask)
  const results = rows.map(({ line, cells }) => readLine(line, cells, { ...ask, nowMs }))
  const lines = results.flatMap((result) => ('wantedDeg' in result ? [result] : []))
  return {
    header,
    count: rows.length,
    lines,
    problems: [
      ...problems,
      ...(rows.length > 0 ? notChosen(1, ask.mapping) : []),
      ...results.flatMap((result) => ('wantedDeg' in result ? [] : result)),
      ...repeatedLines(lines, ask.mapping),
    ].sort((a, b) => a.line - b.line),
  }
}

/** @throws Refused `notebook-refused` with the first thing that is wrong. */
export function refuseProblems({ problems, count }: Notebook): void {
  const [first] = problems
  if (first === undefined && count > 0) return
  if (first === undefined)
    throw new Refused('notebook-refused', 'There is no line below the header.', 'text')
  const more = problems.length === 1 ? '' : ` There are ${problems.length - 1} more.`
  const { line, field, sentence } = first
  throw new Refused(
    'notebook-refused',
    `Nothing was imported. Line ${line}${field === null ? '' : `, ${field}`}: ${sentence}${more}`,
    'text',
  )
}

/** What a person looks over before anything is recorded. */
export function previewOf(notebook: Notebook, { setup }: StoredSetup): NotebookPreview {
  const { header, count, lines, problems } = notebook
  const lessons = lines.map((line) => ({ line, ...lessonOf(line) }))
  return {
    header: [...header],
    guess: guessMapping(header),
    lines: count,
    canTeach: lessons.filter(({ learned }) => learned === 'yes').length,
    rows: lessons.slice(0, ROWS_SHOWN).map(({ line, verdict, notLearnedWhy }) => {
      const { commandedDeg: _, hits: __, lot, ...shown } = line
      return { ...shown, lot: lot ?? setup.tube.lot, verdict, cannotTeachWhy: notLearnedWhy }
    }),
    problems: problems.slice(0, PROBLEMS_SHOWN),
    problemCount: problems.length,
  }
}
