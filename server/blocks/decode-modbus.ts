import { type Static, Type } from 'typebox'
import {
  parseModbusLine,
  REGISTER_FORMS,
  REGISTERS_MAX,
  readRegisters,
  WORD_ORDERS,
} from '../../firmware-protocol/codec/modbus-line.ts'
import { defineBlock } from '../chain/block.ts'
import { NONE } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import {
  DECODED_INPUTS,
  DECODED_OUTPUTS,
  fillReading,
  fillSecond,
  newDecodedLine,
  stepLines,
} from './decoded-line.ts'
import type { LineTrouble } from './device-report.ts'

const FACTOR_MAX = 1e9
const factor = (value: number, description: string) =>
  Type.Number({ minimum: -FACTOR_MAX, maximum: FACTOR_MAX, default: value, description })

const parameters = strict({
  form: Type.Union(
    REGISTER_FORMS.map((word) => Type.Literal(word)),
    { default: 'int16', description: 'How the registers are read as a number.' },
  ),
  order: Type.Union(
    WORD_ORDERS.map((word) => Type.Literal(word)),
    { default: 'high-first', description: 'Which of two registers holds the high half.' },
  ),
  scale: factor(1, 'Degrees or counts for one step of the number; not 0.'),
  offset: factor(0, 'What the number shows at zero; it is taken off before the scale.'),
  at: Type.Integer({
    minimum: 0,
    maximum: REGISTERS_MAX - 1,
    default: 0,
    description: 'Place of the angle among the registers that were asked for, from 0.',
  }),
  pressureAt: Type.Integer({
    minimum: -1,
    maximum: REGISTERS_MAX - 1,
    default: -1,
    description: 'Place of a pressure among them, from 0; −1: none.',
  }),
  pressureScale: factor(1, 'Bar for one step of the pressure.'),
})
type Parameters = Static<typeof parameters>

interface Memory {
  lastS: number
}

/** Both filled for each line and read at once: never kept, so they are no part of any memory. */
const decoded = newDecodedLine()
let ageS = 0

const TROUBLE_OF: Readonly<Record<'timeout' | 'crc' | 'exception', LineTrouble>> = {
  timeout: { reason: 'gap', missing: 1 },
  crc: { reason: 'bad crc' },
  exception: { reason: 'bad field' },
}

/**
 * Reads what Modbus polls came to. A value is as old as the line says, so its time is that of the question. A poll
 * that timed out is a line that is missing; what else failed is told as trouble.
 */
export const decodeModbus = defineBlock({
  kind: 'decode-modbus',
  summary: 'Reads the registers that a Modbus sensor answered with.',
  parameters,
  inputs: DECODED_INPUTS,
  outputs: DECODED_OUTPUTS,
  setsTime: true,
  start({ scale }: Parameters): Memory {
    if (scale === 0) throw new RangeError('scale is 0, which makes every reading 0.')
    return { lastS: 0 }
  },
  step(frame, memory, given: Parameters, rows) {
    const { timeS } = frame.out.value
    const takeTime = (row: number) => {
      const askedS = (frame.in.line.timeS[row] as number) - ageS
      if (decoded.value.quality !== NONE) memory.lastS = Math.max(memory.lastS, askedS)
      timeS[row] = memory.lastS
    }
    stepLines(frame, rows, decoded, ({ text }) => readLine(text, given), takeTime)
  },
})

function readLine(text: string, given: Parameters): LineTrouble | null {
  const line = parseModbusLine(text)
  if (line === null) return { reason: 'unknown sentence' }
  if (line.kind !== 'answer') return TROUBLE_OF[line.kind]
  const { registers } = line
  const { form, order, at, offset, scale, pressureAt, pressureScale } = given
  const pressure = pressureAt < 0 ? 0 : readRegisters(registers, pressureAt, form, order)
  if (pressureAt >= 0) fillSecond(decoded.pressure, pressure && pressure * pressureScale)
  const number = readRegisters(registers, at, form, order)
  if (!fillReading(decoded.value, number === null ? null : (number - offset) * scale))
    return { reason: 'wrong field count' }
  ageS = line.ageUs * 1e-6
  return null
}
