import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { decodeNumber } from '../../../../firmware-protocol/codec/plain-number.ts'

describe('decodeNumber', () => {
  it.each([
    ['12.34', 12.34],
    ['  -7 ', -7],
    ['\t+0.5\t', 0.5],
    ['90', 90],
    ['1e-2', 0.01],
  ])('reads %j', (line, value) => {
    expect(decodeNumber(line)).toEqual({ ok: true, value })
  })

  it.each([
    ['', 'empty'],
    ['   ', 'empty'],
    ['\t', 'empty'],
    ['abc', 'bad field'],
    ['12.3.4', 'bad field'],
    ['12,34', 'bad field'],
    ['12 34', 'bad field'],
    ['nan', 'bad field'],
    ['Infinity', 'bad field'],
    ['1e999', 'bad field'],
    ['0x1F', 'bad field'],
    ['angle: 12', 'bad field'],
    ['12.3°', 'not printable'],
    ['12\u000034', 'not printable'],
    ['\u000c12', 'not printable'],
    ['\u00a012', 'not printable'],
    ['12\n', 'not printable'],
    ['1'.repeat(257), 'overlong'],
  ])('refuses %j: %s', (line, reason) => {
    expect(decodeNumber(line)).toEqual({ ok: false, reason })
  })

  it('gives a finite number or a reason, never more (seed 20)', () => {
    const line = fc.string({ unit: fc.constantFrom(...'0123456789+-.eE \tx'), maxLength: 12 })
    let numbers = 0
    fc.assert(
      fc.property(line, (text) => {
        const decoded = decodeNumber(text)
        if (!decoded.ok) return
        numbers++
        expect(decoded.value).toBe(Number(text))
        expect(Number.isFinite(decoded.value)).toBe(true)
      }),
      { seed: 20, numRuns: 10_000 },
    )
    expect(numbers).toBeGreaterThan(100)
  })
})
