import { type Frame, item, number } from '../chain/block.ts'
import { BAD, GOOD, NONE, type NumberColumn, type Quality } from '../chain/column.ts'
import type { RawLine } from '../chain/raw-line.ts'
import type { LineTrouble } from './device-report.ts'

/** A value beyond this is no angle, no count and no pressure of any sensor. */
const READING_MAX = 1e12

/** What a line said of one thing: a value with its quality. */
interface Reading {
  value: number
  quality: Quality
}

/** What a line of a sensor without a protocol of its own can say. Filled for each line and read at once. */
export interface DecodedLine {
  readonly value: Reading
  readonly pressure: Reading
  readonly switch: Reading
}

export const DECODED_INPUTS = {
  line: item<RawLine>('raw-line', 'Lines; only those of the device are read.'),
}

export const DECODED_OUTPUTS = {
  value: number('1', 'Reading of the angle, in the unit of the sensor.'),
  readings: number('count', 'A one for each reading.'),
  pressure: number('bar', 'Second channel: pressure.'),
  switch: number('1', 'Second channel: 1 closed, 0 open.'),
  trouble: item<LineTrouble>('line-trouble', 'What was wrong with a line.'),
}

const newReading = (): Reading => ({ value: 0, quality: NONE })

export const newDecodedLine = (): DecodedLine => ({
  value: newReading(),
  pressure: newReading(),
  switch: newReading(),
})

/**
 * Fills a reading with what a line says. Null is a sender's word for "no valid reading", so it is bad.
 *
 * @returns false for what is no number of a sensor; the reading is then none.
 */
export function fillReading(reading: Reading, value: number | null): boolean {
  const isNumber = value === null || Math.abs(value) <= READING_MAX
  set(reading, isNumber ? (value ?? 0) : 0, isNumber ? (value === null ? BAD : GOOD) : NONE)
  return isNumber
}

/** A second channel that cannot be read costs no angle: it is bad by itself. */
export function fillSecond(reading: Reading, value: number | null): void {
  if (!fillReading(reading, value)) fillReading(reading, null)
}

/** A switch as sensors send it: 0 open, anything else closed. */
export const asSwitch = (value: number | null): number | null =>
  value === null || Number.isNaN(value) ? value : value === 0 ? 0 : 1

/**
 * The step that all decoders of other dialects share.
 *
 * @param decoded Filled by `read`.
 * @param read Reads one line of the device: what is wrong with it, or null.
 * @param endRow Called when all of a row stands in its place.
 */
export function stepLines(
  { in: inputs, out }: Frame<typeof DECODED_INPUTS, typeof DECODED_OUTPUTS>,
  rows: number,
  decoded: DecodedLine,
  read: (line: RawLine) => LineTrouble | null,
  endRow?: (row: number) => void,
): void {
  for (let row = 0; row < rows; row++) {
    clear(decoded)
    const line = inputs.line.items[row]
    const trouble = line?.from === 'device' ? read(line) : null
    if (trouble !== null) {
      clear(decoded)
      out.trouble.items[row] = trouble
      out.trouble.count++
    }
    put(out.value, row, decoded.value)
    put(out.pressure, row, decoded.pressure)
    put(out.switch, row, decoded.switch)
    out.readings.value[row] = 1
    out.readings.quality[row] = decoded.value.quality
    endRow?.(row)
  }
}

function clear(decoded: DecodedLine): void {
  set(decoded.value, 0, NONE)
  set(decoded.pressure, 0, NONE)
  set(decoded.switch, 0, NONE)
}

function set(reading: Reading, value: number, quality: Quality): void {
  reading.value = value
  reading.quality = quality
}

function put(column: NumberColumn, row: number, { value, quality }: Reading): void {
  column.value[row] = value
  column.quality[row] = quality
}
