import { readFile, stat } from 'node:fs/promises'
import { CsvError, parse } from 'csv-parse/sync'
import { BadInput } from './command.ts'
import { isNumber, type NumberCell, numbersIn } from './csv-numbers.ts'

const BYTES_MAX = 64 * 1024 * 1024
/** What was meant as a value, also where it is none: such a first line is no header. */
const MEANT_AS_VALUE = /^[+-]?(?:[.,]?\d|(?:nan|inf|infinity)$)/i
const PLACE = /^\d+$/

interface Row {
  readonly cells: readonly string[]
  readonly line: number
}

interface Table {
  readonly rows: readonly Row[]
  /** A comma does not part its columns: it may stand in its numbers. */
  readonly mayHaveCommas: boolean
}

/** One column of numbers, and which one it is. */
export interface Column {
  /** Null without a header line. */
  readonly name: string | null
  /** From 1. */
  readonly place: number
  readonly values: readonly number[]
}

/**
 * One column of numbers of a CSV file, with a header line or without. Columns of words beside it are passed over;
 * where several hold numbers, `wanted` says which: its name, or without a header its place from 1.
 *
 * @throws BadInput with the line at fault.
 */
export async function readColumn(path: string, wanted: string | null = null): Promise<Column> {
  const { rows, mayHaveCommas } = await tableIn(path)
  const [first] = rows
  const isBare = first?.cells.some((cell) => MEANT_AS_VALUE.test(cell)) ?? false
  const data = isBare ? rows : rows.slice(1)
  if (first === undefined || data.length === 0) throw new BadInput(`${path} has no values.`)
  for (const { cells, line } of data)
    if (cells.length !== first.cells.length)
      throw new BadInput(
        `${path}, line ${line}: ${cells.length} columns where line ${first.line} has ${first.cells.length}; ` +
          'numbers take a decimal point, not a comma.',
      )
  const names = isBare ? null : first.cells
  const place =
    wanted === null ? onlyPlace(data, names, path) : placeCalled(wanted, first, { names, path })
  const cells = data.map((row): NumberCell => ({ text: row.cells[place] ?? '', line: row.line }))
  const values = numbersIn(cells, { path, mayHaveCommas })
  return { name: names?.[place] ?? null, place: place + 1, values }
}

/** The lines of a CSV file that hold something. @throws BadInput */
export const tableIn = async (path: string): Promise<Table> => tableOf(await textOf(path), path)

async function textOf(path: string): Promise<string> {
  const found = await stat(path).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') throw new BadInput(`${path} is not there.`)
    throw new BadInput(`${path} cannot be read: ${error.code ?? error.message}.`)
  })
  if (!found.isFile()) throw new BadInput(`${path} is no file.`)
  if (!(found.size <= BYTES_MAX))
    throw new BadInput(`${path} is larger than ${BYTES_MAX / 1024 / 1024} MB; cut it up.`)
  return readFile(path, 'utf8')
}

function tableOf(text: string, path: string): Table {
  const [head = ''] = text.split('\n', 1)
  const delimiter = [';', '\t'].find((sign) => head.includes(sign)) ?? ','
  try {
    const found = parse(text, {
      bom: true,
      delimiter,
      info: true,
      relax_column_count: true,
      skip_empty_lines: true,
      trim: true,
    }) as unknown as readonly { record: string[]; info: { lines: number } }[]
    const rows = found.map(({ record, info }) => ({ cells: record, line: info.lines }))
    return { rows, mayHaveCommas: delimiter !== ',' }
  } catch (error) {
    if (!(error instanceof CsvError)) throw error
    throw new BadInput(`${path}, line ${String(error['lines'])}: its quotes do not match.`)
  }
}

/** A column counts where any of its cells is a number: one that begins with a gap is not passed over unseen. */
function onlyPlace(data: readonly Row[], names: readonly string[] | null, path: string): number {
  const [start] = data
  if (start?.cells.length === 1) return 0
  const places = (start?.cells ?? []).flatMap((_, place) =>
    data.some(({ cells }) => isNumber(cells[place] ?? '')) ? [place] : [],
  )
  const [place] = places
  if (place === undefined)
    throw new BadInput(`${path}, line ${start?.line}: no column has a number.`)
  if (places.length > 1) {
    const known = places.map((one) => names?.[one] || String(one + 1)).join(', ')
    throw new BadInput(
      `${path}: ${places.length} columns of numbers, and chart takes one; say which by --column: ${known}.`,
    )
  }
  return place
}

function placeCalled(
  wanted: string,
  { cells }: Row,
  { names, path }: { names: readonly string[] | null; path: string },
): number {
  const called = (names ?? []).flatMap((name, place) => (name === wanted ? [place] : []))
  if (called.length > 1)
    throw new BadInput(`${path}: ${called.length} columns are called "${wanted}"; say its number.`)
  const [found = PLACE.test(wanted) ? Number(wanted) - 1 : -1] = called
  if (found >= 0 && found < cells.length) return found
  const known = names?.join(', ') ?? `1 to ${cells.length}`
  throw new BadInput(`${path}: no column "${wanted}"; there are: ${known}.`)
}
