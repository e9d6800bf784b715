import type { GaugeReadings } from '../quality/gauge-study.ts'
import { tableIn } from './chart-csv.ts'
import { BadInput } from './command.ts'
import { numbersIn } from './csv-numbers.ts'

/** A study on paper has ninety readings. */
const READINGS_MAX = 100_000
/** Squares of larger ones, added up, no longer fit a double. */
const READING_MAX = 1e100

interface Row {
  readonly cells: readonly string[]
  readonly line: number
}

interface Reading {
  readonly operator: string
  readonly tube: string
  readonly value: number
}

export interface GaugeTable {
  readonly operators: readonly string[]
  readonly tubes: readonly string[]
  readonly trials: number
  readonly readings: GaugeReadings
}

const COLUMNS = ['operator', 'tube', 'reading'] as const

function placesOf({ cells, line }: Row, path: string): number[] {
  const names = cells.map((cell) => cell.toLowerCase())
  return COLUMNS.map((column) => {
    const place = names.indexOf(column)
    if (place < 0)
      throw new BadInput(
        `${path}, line ${line}: no column "${column}"; the first line names operator, tube and reading.`,
      )
    return place
  })
}

function namesOf({ cells, line }: Row, places: readonly number[], path: string) {
  const [operator = '', tube = ''] = places.map((place) => cells[place] ?? '')
  if (operator === '') throw new BadInput(`${path}, line ${line}: no operator.`)
  if (tube === '') throw new BadInput(`${path}, line ${line}: no tube.`)
  return { operator, tube }
}

async function readingsIn(path: string): Promise<Reading[]> {
  const { rows: all, mayHaveCommas } = await tableIn(path)
  const [head, ...rows] = all
  if (head === undefined || rows.length === 0) throw new BadInput(`${path} has no readings.`)
  if (rows.length > READINGS_MAX)
    throw new BadInput(`${path} has ${rows.length} readings; ${READINGS_MAX} at most.`)
  const places = placesOf(head, path)
  const names = rows.map((row) => namesOf(row, places, path))
  const [, , place = -1] = places
  const cells = rows.map((row) => ({ text: row.cells[place] ?? '', line: row.line }))
  const values = numbersIn(cells, { path, mayHaveCommas })
  const large = values.findIndex((value) => !(Math.abs(value) <= READING_MAX))
  if (large >= 0)
    throw new BadInput(`${path}, line ${cells[large]?.line}: a reading beyond ${READING_MAX}.`)
  return names.map((name, at) => ({ ...name, value: values[at] ?? Number.NaN }))
}

const distinct = (texts: readonly string[]) => [...new Set(texts)]

/** Readings by tube and operator, in the order in which each was read. */
function cellsOf(readings: readonly Reading[]): Map<string, number[]> {
  const cells = new Map<string, number[]>()
  for (const { operator, tube, value } of readings) {
    const key = JSON.stringify([tube, operator])
    const cell = cells.get(key)
    if (cell === undefined) cells.set(key, [value])
    else cell.push(value)
  }
  return cells
}

/**
 * A study from a CSV with the columns operator, tube and reading: a line a reading, in any order.
 *
 * @throws BadInput with the line at fault, or with the tube and operator whose readings are too few or too many.
 */
export async function readGaugeTable(path: string): Promise<GaugeTable> {
  const found = await readingsIn(path)
  const operators = distinct(found.map(({ operator }) => operator))
  const tubes = distinct(found.map(({ tube }) => tube))
  const cells = cellsOf(found)
  const trials = cells.values().next().value?.length ?? 0
  const readings = tubes.map((tube) =>
    operators.map((operator) => {
      const cell = cells.get(JSON.stringify([tube, operator])) ?? []
      if (cell.length !== trials)
        throw new BadInput(
          `${path}: operator ${operator} read tube ${tube} ${cell.length} times, where others were read ${trials} times; each reads each tube as often.`,
        )
      return cell
    }),
  )
  return { operators, tubes, trials, readings }
}
