import fc from 'fast-check'
import { expect, it } from 'vitest'
import { thinned } from '../../../../server/quality/thinned.ts'

it('leaves a short run whole', () => {
  expect(thinned([3, 1, 2], 16)).toEqual([0, 1, 2])
  expect(thinned([], 16)).toEqual([])
})

it('keeps the extremes and both ends of any run, in order, in no more points than asked', () => {
  const values = fc.array(fc.double({ noNaN: true }), { minLength: 1, maxLength: 400 })
  fc.assert(
    fc.property(values, fc.integer({ min: 16, max: 100 }), fc.boolean(), (run, most, isAll) => {
      const shown = thinned(run, most, new Uint8Array(run.length).fill(isAll ? 1 : 0))
      expect(shown.length).toBeLessThanOrEqual(most)
      expect(shown).toEqual([...new Set(shown)].sort((a, b) => a - b))
      expect([shown[0], shown.at(-1)]).toEqual([0, run.length - 1])
      const drawn = shown.map((place) => run[place] ?? Number.NaN)
      expect(Math.max(...drawn) === Math.max(...run)).toBe(true)
      expect(Math.min(...drawn) === Math.min(...run)).toBe(true)
    }),
  )
})

it('refuses to draw a run by a handful of points', () => {
  expect(() => thinned([1, 2], 15)).toThrow('15 points')
})
