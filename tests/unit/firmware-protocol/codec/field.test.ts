import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  choice,
  type Field,
  integer,
  MISFIT,
  orEmpty,
  readInteger,
  text,
} from '../../../../firmware-protocol/codec/field.ts'

/** Reads a field where it always is: in the midst of a line. */
const read = <T>(field: Field<T>, value: string) => field.read(`$X,${value},0`, 3, 3 + value.length)

describe('an integer field', () => {
  const field = integer(-128, 127)

  it.each([
    ['0', 0],
    ['7', 7],
    ['-1', -1],
    ['127', 127],
    ['-128', -128],
  ])('reads %s', (written, value) => {
    expect(read(field, written)).toBe(value)
  })

  it.each([
    '',
    '-',
    '+1',
    '-0',
    '00',
    '01',
    '-01',
    '128',
    '-129',
    '1.',
    '1.0',
    '1e1',
    '0x1',
    ' 1',
    '1 ',
    '1,1',
    '--1',
    '1-',
    '٣',
    '99999999999',
    '-99999999999',
    '00000000001',
    'NaN',
    'Infinity',
  ])('does not read %j', (written) => {
    expect(read(field, written)).toBe(MISFIT)
  })

  it('does not write what is outside, broken or no number', () => {
    for (const value of [128, -129, 0.5, Number.NaN, Infinity, -Infinity])
      expect(field.write(value)).toBe(MISFIT)
    for (const value of ['1', null, undefined, {}, 1n])
      expect(field.write(value as unknown as number)).toBe(MISFIT)
  })

  it('reads every 32-bit number that it writes (seed 3)', () => {
    const wide = integer(-(2 ** 31), 2 ** 32 - 1)
    fc.assert(
      fc.property(fc.integer({ min: -(2 ** 31), max: 2 ** 32 - 1 }), (value) => {
        const written = wide.write(value)
        expect(written).not.toBe(MISFIT)
        expect(read(wide, String(written))).toBe(value)
      }),
      { seed: 3 },
    )
  })

  it('reads a text only if it is the one way to write its value (seed 4)', () => {
    const digits = fc.string({ unit: fc.constantFrom(...'-+0123456789. '), maxLength: 12 })
    fc.assert(
      fc.property(digits, (written) => {
        const value = readInteger(written, 0, written.length, -(2 ** 31), 2 ** 32 - 1)
        if (!Number.isNaN(value)) expect(String(value)).toBe(written)
      }),
      { seed: 4, numRuns: 5000 },
    )
  })

  it('gives no number for a piece that ends before it starts', () => {
    expect(readInteger('123', 2, 1, 0, 9)).toBeNaN()
    expect(readInteger('123', 3, 5, 0, 9)).toBeNaN()
    expect(readInteger('', 0, 1, 0, 9)).toBeNaN()
  })
})

describe('a text field', () => {
  const field = text(1, 4)

  it.each(['a', 'Z9', 'a.b', '-_ .'])('reads and writes %j', (value) => {
    expect(read(field, value)).toBe(value)
    expect(field.write(value)).toBe(value)
  })

  it.each(['', 'abcde', 'a,b', 'a*b', '$a', 'a\n', '\r', 'é', 'a^b', 'a~', 'a\\', 'a!', 'a\0'])(
    'neither reads nor writes %j',
    (value) => {
      expect(read(field, value)).toBe(MISFIT)
      expect(field.write(value)).toBe(MISFIT)
    },
  )
})

describe('a choice', () => {
  const field = choice(['ON', true], ['OFF', false])

  it('reads and writes its words', () => {
    expect(read(field, 'ON')).toBe(true)
    expect(read(field, 'OFF')).toBe(false)
    expect(field.write(true)).toBe('ON')
    expect(field.write(false)).toBe('OFF')
  })

  it.each(['', 'O', 'OF', 'on', 'ONN', 'OFFF', 'ON ', 'true'])('does not read %j', (written) => {
    expect(read(field, written)).toBe(MISFIT)
  })

  it('does not write a value that has no word', () => {
    expect(field.write('ON' as unknown as boolean)).toBe(MISFIT)
    expect(field.write(undefined as unknown as boolean)).toBe(MISFIT)
  })
})

describe('a field that may be empty', () => {
  const field = orEmpty(integer(0, 9), null)

  it('has no value when it is empty, and zero when it is 0', () => {
    expect(read(field, '')).toBeNull()
    expect(read(field, '0')).toBe(0)
    expect(field.write(null)).toBe('')
    expect(field.write(0)).toBe('0')
  })

  it('is as strict as the field within', () => {
    expect(read(field, '10')).toBe(MISFIT)
    expect(read(field, ' ')).toBe(MISFIT)
    expect(field.write(10)).toBe(MISFIT)
  })

  it('tells its grammar', () => {
    expect(field.grammar).toBe('integer 0 to 9, or empty')
  })
})
