import { CsvError, parse } from 'csv-parse/sync'
import type { NotebookAsk, NotebookProblem } from '../../messages/notebook.ts'

/** More lines than a notebook has; a second of work. */
const LINES_MAX = 10_000
const COLUMNS_MAX = 200

const SEPARATORS = { comma: ',', semicolon: ';', tab: '\t' } as const

interface TableRow {
  /** Line of the file, from 1, on which it begins. */
  readonly line: number
  readonly cells: readonly string[]
}

export interface Table {
  readonly header: readonly string[]
  readonly rows: readonly TableRow[]
  /** What keeps it from being read as a table. */
  readonly problems: readonly NotebookProblem[]
}

const problem = (line: number, sentence: string): NotebookProblem => ({
  line,
  field: null,
  sentence,
})
const unreadable = (line: number, sentence: string): Table => ({
  header: [],
  rows: [],
  problems: [problem(line, sentence)],
})

function rowsOf(text: string, separator: string): TableRow[] {
  const records: string[][] = parse(text, {
    bom: true,
    delimiter: separator,
    relax_column_count: true,
    to: LINES_MAX + 2,
  })
  let line = 1
  return records.map((record) => {
    const row = { line, cells: record.map((cell) => cell.trim()) }
    // A cell in quotes may go over several lines.
    line += 1 + (record.join().match(/\r\n|\r|\n/g)?.length ?? 0)
    return row
  })
}

/** The lines of a file under its header; empty lines are left out. */
export function readTable({ text, separator }: Pick<NotebookAsk, 'text' | 'separator'>): Table {
  let rows: TableRow[]
  try {
    rows = rowsOf(text, SEPARATORS[separator])
  } catch (error) {
    if (!(error instanceof CsvError)) throw error
    const line = Number(error['lines'] ?? 1)
    return unreadable(
      line,
      `This line is no CSV (${error.message.replace(/\.$/, '')}): mend its quotes.`,
    )
  }
  const [header, ...below] = rows.filter(({ cells }) => cells.some((cell) => cell !== ''))
  if (header === undefined) return unreadable(1, 'The file is empty: choose another.')
  if (header.cells.length > COLUMNS_MAX)
    return unreadable(
      header.line,
      `${header.cells.length} columns are too many: at most ${COLUMNS_MAX}.`,
    )
  if (below.length > LINES_MAX)
    return unreadable(LINES_MAX + 2, `More than ${LINES_MAX} lines: import them in several files.`)
  const problems = below
    .filter(({ cells }) => cells.length > header.cells.length)
    .map(({ line, cells }) =>
      problem(
        line,
        `${cells.length} cells, but the header has ${header.cells.length}: put quotes round a cell that holds a separator.`,
      ),
    )
  return { header: header.cells, rows: below, problems }
}
