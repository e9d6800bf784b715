import fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  bitOf,
  countMarked,
  markedEvenly,
  placesMarked,
} from '../../../../server/quality/marked-places.ts'

const marks = fc.uint8Array({ maxLength: 200, max: 7 })
const listed = (all: Uint8Array, bits: number) =>
  [...all].flatMap((mark, place) => ((mark & bits) > 0 ? [place] : []))

test('places with a bit are counted and listed, of many the first', () => {
  fc.assert(
    fc.property(marks, fc.constantFrom(1, 2, 4), fc.nat(30), (all, bit, most) => {
      expect(countMarked(all, bit)).toBe(listed(all, bit).length)
      expect(placesMarked(all, bit)).toEqual(listed(all, bit))
      expect(placesMarked(all, bit, most)).toEqual(listed(all, bit).slice(0, most))
    }),
  )
})

test('of too many with any mark, so many evenly', () => {
  fc.assert(
    fc.property(marks, fc.integer({ min: 1, max: 250 }), (all, most) => {
      const places = listed(all, 0xff)
      const expected =
        places.length <= most
          ? places
          : Array.from({ length: most }, (_, i) => places[Math.floor((i * places.length) / most)])
      expect(markedEvenly(all, most)).toEqual(expected)
    }),
  )
})

test('a byte has eight bits; a ninth is refused, not lost', () => {
  const bits = Array.from({ length: 8 }, (_, nth) => bitOf(nth))
  const all = Uint8Array.of(bits.reduce((sum, bit) => sum | bit, 0))
  expect(bits.map((bit) => countMarked(all, bit))).toEqual(Array(8).fill(1))
  expect(new Set(bits).size).toBe(8)
  for (const nth of [8, -1, 0.5, Number.NaN]) expect(() => bitOf(nth)).toThrow(RangeError)
})
