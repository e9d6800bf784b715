import { describe, expect, test } from 'vitest'
import { decodeModbus } from '../../../../server/blocks/decode-modbus.ts'
import { BAD, GOOD, NONE } from '../../../../server/chain/column.ts'
import { oneBlock } from './one-block.ts'
import { fromDevice, fromHost } from './wire.ts'

const read = (text: string, parameters: Record<string, unknown> = {}) =>
  oneBlock(decodeModbus, parameters).feed([{ timeS: 10, line: fromDevice(text) }])[0]!

describe('registers', () => {
  test.each([
    [{ form: 'int16', scale: 0.01 }, '1275', 47.25],
    [{ form: 'int16', scale: 0.01 }, 'FFDD', -0.35],
    [{ form: 'uint16' }, 'FFDD', 65_501],
    [{ form: 'uint16', offset: 20_000, scale: 0.01 }, '6095', 47.25],
    [{ form: 'int32', scale: 0.001 }, '0000B892', 47.25],
    [{ form: 'int32', scale: 0.001, order: 'low-first' }, 'B8920000', 47.25],
    [{ form: 'int32' }, 'FFFFFFFF', -1],
    [{ form: 'uint32' }, 'FFFFFFFF', 4_294_967_295],
    [{ form: 'float32' }, '423D0000', 47.25],
    [{ form: 'float32', order: 'low-first' }, '0000423D', 47.25],
    [{ form: 'float32', at: 2 }, 'AAAAAAAA423D0000', 47.25],
  ])('%j of %s: %d', (parameters, hex, value) => {
    const row = read(`MB 1 0 ${hex}`, parameters)
    expect(row.value).toBeCloseTo(value, 9)
    expect(row.quality).toBe(GOOD)
  })

  test.each(['7FC00000', '7F800000', 'FF800000'])('a float that is none, %s, is bad', (hex) => {
    expect(read(`MB 1 0 ${hex}`, { form: 'float32' })).toMatchObject({ value: 0, quality: BAD })
  })

  test('a pressure is read beside the angle; one that is not there costs no angle', () => {
    const given = { pressureAt: 1, pressureScale: 0.1 }
    expect(read('MB 1 0 00100338', given).all).toMatchObject({ value: 16, pressure: 82.4 })
    expect(read('MB 1 0 0010', given)).toMatchObject({ value: 16, quality: GOOD })
    expect(read('MB 1 0 00100338').all).toMatchObject({ pressure: 0 })
  })
})

test('the time of a value is that of the question, and never goes back', () => {
  const rows = oneBlock(decodeModbus).feed([
    { timeS: 10, line: fromDevice('MB 1 15000 0001') },
    { timeS: 10.01, line: fromHost('datum') },
    { timeS: 10.05, line: fromDevice('MB 1 4000 0002') },
    { timeS: 10.06, line: fromDevice('MB 1 4000000 0003') },
  ])
  const times = rows.map(({ timeS }) => Number(timeS.toFixed(9)))
  expect(times).toEqual([9.985, 9.985, 10.046, 10.046])
})

describe('what is no reading', () => {
  test.each([
    ['ME 1 timeout 0', { reason: 'gap', missing: 1 }],
    ['ME 1 crc 0', { reason: 'bad crc' }],
    ['ME 1 exception 2', { reason: 'bad field' }],
    ['MB 1 0', { reason: 'unknown sentence' }],
    ['MB 1 0 001', { reason: 'unknown sentence' }],
    ['MB 1 0 00g1', { reason: 'unknown sentence' }],
    ['MB 248 0 0001', { reason: 'unknown sentence' }],
    ['ME 1 timeout 256', { reason: 'unknown sentence' }],
    ['MB 1 99999999 0001', { reason: 'unknown sentence' }],
    ['$PXOBS', { reason: 'unknown sentence' }],
  ])('%s', (text, trouble) => {
    const row = read(text)
    expect(row.quality).toBe(NONE)
    expect(row.all['trouble']).toEqual(trouble)
  })

  test('too few registers', () => {
    expect(read('MB 1 0 0001', { form: 'float32' }).all['trouble']).toEqual({
      reason: 'wrong field count',
    })
  })
})

test('a scale of zero is refused in one sentence', () => {
  expect(() => oneBlock(decodeModbus, { scale: 0 })).toThrow(
    'scale is 0, which makes every reading 0.',
  )
})
