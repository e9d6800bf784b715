import { readFile, stat } from 'node:fs/promises'
import { CsvError, parse } from 'csv-parse/sync'
import { BadInput } from './command.ts'

const BYTES_MAX = 64 * 1024 * 1024
/** Sums and differences of values beyond it no longer fit a double. */
const VALUE_MAX = 1e300
const SHOWN_MAX = 40

const DECIMAL = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i
/** What was meant as a value, also where it is none: such a first line is no header. */
const MEANT_AS_VALUE = /^[+-]?(?:[.,]?\d|nan|inf)/i
const DECIMAL_COMMA = /^[+-]?\d*,\d+$/

export interface Row {
  readonly cells: readonly string[]
  readonly line: number
}

/**
 * The one column of numbers of a CSV file, with a header line or without. Columns of words beside it are passed over.
 *
 * @throws BadInput with the line at fault.
 */
export async function readColumn(path: string): Promise<number[]> {
  const rows = await rowsIn(path)
  const [first] = rows
  const data = first?.cells.some((cell) => MEANT_AS_VALUE.test(cell)) ? rows : rows.slice(1)
  const [start] = data
  if (first === undefined || start === undefined) throw new BadInput(`${path} has no values.`)
  for (const { cells, line } of data)
    if (cells.length !== first.cells.length)
      throw new BadInput(
        `${path}, line ${line}: ${cells.length} columns where line ${first.line} has ${first.cells.length}; ` +
          'numbers take a decimal point, not a comma.',
      )
  const place = columnOf(start, path)
  return data.map(({ cells, line }) => numberIn(cells[place] ?? '', path, line))
}

/** The lines of a CSV file that hold something. @throws BadInput */
export const rowsIn = async (path: string): Promise<Row[]> => rowsOf(await textOf(path), path)

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

function rowsOf(text: string, path: string): Row[] {
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
    return found.map(({ record, info }) => ({ cells: record, line: info.lines }))
  } catch (error) {
    if (!(error instanceof CsvError)) throw error
    throw new BadInput(`${path}, line ${String(error['lines'])}: its quotes do not match.`)
  }
}

function columnOf({ cells, line }: Row, path: string): number {
  if (cells.length === 1) return 0
  const places = cells.flatMap((cell, i) => (DECIMAL.test(cell) ? [i] : []))
  const [place] = places
  if (place === undefined) throw new BadInput(`${path}, line ${line}: no column has a number.`)
  if (places.length > 1)
    throw new BadInput(
      `${path}, line ${line}: ${places.length} columns of numbers, and chart takes one; ` +
        'leave one, with a decimal point.',
    )
  return place
}

/** @throws BadInput with the line at fault. */
export function numberIn(text: string, path: string, line: number): number {
  const shown = text.slice(0, SHOWN_MAX)
  if (DECIMAL_COMMA.test(text))
    throw new BadInput(`${path}, line ${line}: "${shown}" has a decimal comma; write a point.`)
  if (!DECIMAL.test(text))
    throw new BadInput(`${path}, line ${line}: a number is needed, got "${shown}".`)
  const value = Number(text)
  if (!(Math.abs(value) <= VALUE_MAX))
    throw new BadInput(`${path}, line ${line}: ${shown} is beyond ${VALUE_MAX}.`)
  return value
}
