import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  formatModbusLine,
  type ModbusLine,
  parseModbusLine,
  REGISTER_FORMS,
  readRegisters,
  registersOf,
  WORD_ORDERS,
} from '../../../../firmware-protocol/codec/modbus-line.ts'

describe('a poll as a line', () => {
  test.each<[ModbusLine, string]>([
    [{ kind: 'answer', unitId: 1, ageUs: 2150, registers: [0x423d, 0] }, 'MB 1 2150 423D0000'],
    [{ kind: 'timeout', unitId: 17, code: 0 }, 'ME 17 timeout 0'],
    [{ kind: 'exception', unitId: 17, code: 2 }, 'ME 17 exception 2'],
    [{ kind: 'crc', unitId: 247, code: 0 }, 'ME 247 crc 0'],
  ])('%j is "%s", and back', (line, text) => {
    expect(formatModbusLine(line)).toBe(text)
    expect(parseModbusLine(text)).toEqual(line)
  })

  test.each([
    'MB',
    'MB 1 1 ',
    'MB 1 -1 0001',
    'MB 1 1 0001 ',
    'mb 1 1 0001',
    'MB 1 1 abcd',
    'MB 300 1 0001',
    `MB 1 1 ${'0001'.repeat(61)}`,
    'MB 1 10000001 0001',
    'ME 1 other 0',
    'ME 1 crc',
    'ME 900 crc 0',
    '',
  ])('"%s" is none', (text) => {
    expect(parseModbusLine(text)).toBeNull()
  })

  test('the longest still fits a line', () => {
    const registers = Array.from({ length: 60 }, () => 0xffff)
    const text = formatModbusLine({ kind: 'answer', unitId: 247, ageUs: 9_999_999, registers })
    expect(text.length).toBeLessThanOrEqual(256)
    expect(parseModbusLine(text)).not.toBeNull()
  })

  test('any text is a line or null (seed 33)', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 80 }), (text) => {
        expect(() => parseModbusLine(text)).not.toThrow()
      }),
      { seed: 33 },
    )
  })
})

describe('registers as a number', () => {
  /** The bytes written by the language's own DataView, big-endian, as the specification says. */
  function registersFor(value: number, form: (typeof REGISTER_FORMS)[number]): number[] {
    const view = new DataView(new ArrayBuffer(4))
    if (form === 'int16') view.setInt16(0, value)
    if (form === 'uint16') view.setUint16(0, value)
    if (form === 'int32') view.setInt32(0, value)
    if (form === 'uint32') view.setUint32(0, value)
    if (form === 'float32') view.setFloat32(0, value)
    return [view.getUint16(0), view.getUint16(2)].slice(0, registersOf(form))
  }

  test('every form and word order gives back what was written (seed 34)', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...REGISTER_FORMS),
        fc.constantFrom(...WORD_ORDERS),
        fc.integer({ min: 0, max: 32_767 }),
        (form, order, value) => {
          const words = registersFor(value, form)
          const sent = order === 'low-first' ? words.reverse() : words
          expect(readRegisters([7, ...sent], 1, form, order)).toBe(value)
        },
      ),
      { seed: 34 },
    )
  })

  test.each([
    [[], 0],
    [[1], 0],
    [[1, 2], 1],
    [[1, 2], -1],
    [[70_000, 2], 0],
  ])('of %j from %d there are too few', (registers, at) => {
    expect(readRegisters(registers, at, 'int32', 'high-first')).toBeNaN()
  })
})
