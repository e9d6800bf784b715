import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { crc16Ccitt } from '../../../../firmware-protocol/codec/crc16.ts'

/** The same sum by long division, bit for bit, as its definition has it: no table. */
function byDivision(text: string): number {
  let register = 0xffff
  for (const char of text)
    for (let bit = 7; bit >= 0; bit--) {
      const incoming = (char.charCodeAt(0) >> bit) & 1
      const top = register >> 15
      register = (register << 1) & 0xffff
      if (top !== incoming) register ^= 0x1021
    }
  return register
}

const bytes = fc.string({
  unit: fc.integer({ min: 0, max: 255 }).map((c) => String.fromCharCode(c)),
})

describe('crc16Ccitt', () => {
  it('starts at FFFF, so that leading zero bytes count', () => {
    expect(crc16Ccitt('')).toBe(0xffff)
    expect(crc16Ccitt('\0')).not.toBe(crc16Ccitt('\0\0'))
  })

  it('is long division by its polynomial (1000 texts of bytes, seed 1)', () => {
    fc.assert(
      fc.property(bytes, (text) => {
        expect(crc16Ccitt(text)).toBe(byDivision(text))
      }),
      { seed: 1, numRuns: 1000 },
    )
  })

  it('sums a part of a text as if it stood alone (seed 2)', () => {
    fc.assert(
      fc.property(bytes, bytes, bytes, (before, part, after) => {
        const from = before.length
        const summed = crc16Ccitt(before + part + after, from, from + part.length)
        expect(summed).toBe(crc16Ccitt(part))
      }),
      { seed: 2 },
    )
  })

  it('stays within 16 bits for characters that are no bytes', () => {
    for (const text of ['°', '→', '\ud83d\ude00'.repeat(20)]) {
      expect(crc16Ccitt(text)).toBeGreaterThanOrEqual(0)
      expect(crc16Ccitt(text)).toBeLessThanOrEqual(0xffff)
    }
  })

  it('sees any burst of up to 16 bits in a line', () => {
    const line = 'PXOBS,184,12034567,-1234,0,'
    const clean = crc16Ccitt(line)
    let seen = 0
    for (let at = 0; at + 1 < line.length; at++)
      for (let burst = 1; burst < 65536; burst += 257) {
        const first = String.fromCharCode(line.charCodeAt(at) ^ (burst >> 8))
        const second = String.fromCharCode(line.charCodeAt(at + 1) ^ (burst & 255))
        expect(crc16Ccitt(line.slice(0, at) + first + second + line.slice(at + 2))).not.toBe(clean)
        seen++
      }
    expect(seen).toBe(26 * 255)
  })
})
