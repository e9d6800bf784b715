import { type Static, Type } from 'typebox'
import { readCell, SEPARATORS, splitColumns } from '../../firmware-protocol/codec/columns.ts'
import { defineBlock } from '../chain/block.ts'
import { strict } from '../chain/strict.ts'
import {
  asSwitch,
  DECODED_INPUTS,
  DECODED_OUTPUTS,
  fillReading,
  fillSecond,
  newDecodedLine,
  stepLines,
} from './decoded-line.ts'
import type { LineTrouble } from './device-report.ts'

/** A line of 256 characters has no more columns that say something. */
const COLUMNS_MAX = 64

const second = (description: string) =>
  Type.Integer({ minimum: 0, maximum: COLUMNS_MAX, default: 0, description })

const parameters = strict({
  separator: Type.Union(
    SEPARATORS.map((word) => Type.Literal(word)),
    { default: 'none', description: 'What stands between columns; "none": a line is one number.' },
  ),
  column: Type.Integer({
    minimum: 1,
    maximum: COLUMNS_MAX,
    default: 1,
    description: 'Where the reading of the angle stands, from 1.',
  }),
  pressureColumn: second('Where a pressure in bar stands, from 1; 0: nowhere.'),
  switchColumn: second('Where a pedal or a switch stands, 0 open, else closed; 0: nowhere.'),
})
type Parameters = Static<typeof parameters>

const decoded = newDecodedLine()

/** Reads lines that are one decimal number, or columns of which one is. An empty cell is a bad reading. */
export const decodeNumber = defineBlock({
  kind: 'decode-number',
  summary: 'Reads lines of one number, or of columns of numbers.',
  parameters,
  inputs: DECODED_INPUTS,
  outputs: DECODED_OUTPUTS,
  start: () => ({}),
  step(frame, _memory, given: Parameters, rows) {
    stepLines(frame, rows, decoded, ({ text }) => readLine(text, given))
  },
})

function readLine(text: string, given: Parameters): LineTrouble | null {
  const split = splitColumns(text, given.separator)
  if (!split.ok) return { reason: split.reason }
  const { cells } = split
  const { column, pressureColumn, switchColumn } = given
  if (column > cells.length) return { reason: 'wrong field count' }
  if (pressureColumn > 0) fillSecond(decoded.pressure, readCell(cells, pressureColumn))
  if (switchColumn > 0) fillSecond(decoded.switch, asSwitch(readCell(cells, switchColumn)))
  return fillReading(decoded.value, readCell(cells, column)) ? null : { reason: 'bad field' }
}
