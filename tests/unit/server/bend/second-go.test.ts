import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { secondGoDeg } from '../../../../server/bend/second-go.ts'

const SEED = 4107

describe('secondGoDeg', () => {
  it('adds what is missing, and the share of it that comes back', () => {
    expect(secondGoDeg({ peakDeg: 90, releasedDeg: 87 }, 90, 0)).toBe(93)
    expect(secondGoDeg({ peakDeg: 90, releasedDeg: 87 }, 90, 0.25)).toBe(94)
  })

  it('lands on the wanted angle where springback is a + b·θ, whatever a (seed 4107)', () =>
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 3, noNaN: true }),
        fc.double({ min: 0, max: 0.2, noNaN: true }),
        fc.double({ min: 30, max: 85, noNaN: true }),
        (a, b, peakDeg) => {
          const left = (loadedDeg: number) => loadedDeg - a - b * loadedDeg
          const againDeg = secondGoDeg({ peakDeg, releasedDeg: left(peakDeg) }, 90, b)!
          expect(left(againDeg)).toBeCloseTo(90, 9)
          expect(againDeg).toBeGreaterThan(peakDeg)
        },
      ),
      { seed: SEED },
    ))

  it.each([
    ['over', 91],
    ['there', 90],
    ['nearer than a hand can do', 89.95],
  ])('null when it stands %s', (_name, releasedDeg) => {
    expect(secondGoDeg({ peakDeg: 93, releasedDeg }, 90, 0.03)).toBeNull()
  })

  it('is offered from 0.1° on', () => {
    expect(secondGoDeg({ peakDeg: 93, releasedDeg: 89.89 }, 90, 0.03)).toBeGreaterThan(93.1)
  })

  it('a tube that sprang all the way back can be gone at again', () => {
    expect(secondGoDeg({ peakDeg: 5, releasedDeg: 0 }, 10, 0.5)).toBe(25)
  })

  it.each([
    ['peak NaN', Number.NaN, 80, 90, 0.03, 'LOADED_ANGLE'],
    ['peak 0', 0, 80, 90, 0.03, 'LOADED_ANGLE'],
    ['peak beyond a turn', 361, 80, 90, 0.03, 'LOADED_ANGLE'],
    ['released NaN', 90, Number.NaN, 90, 0.03, 'RELEASED_ANGLE'],
    ['released infinite', 90, -Infinity, 90, 0.03, 'RELEASED_ANGLE'],
    ['wanted 0', 90, 80, 0, 0.03, 'WANTED_ANGLE'],
    ['wanted NaN', 90, 80, Number.NaN, 0.03, 'WANTED_ANGLE'],
    ['slope 1', 90, 80, 90, 1, 'SLOPE'],
    ['slope below 0', 90, 80, 90, -0.1, 'SLOPE'],
    ['slope NaN', 90, 80, 90, Number.NaN, 'SLOPE'],
  ])('%s is refused', (_name, peakDeg, releasedDeg, wantedDeg, slope, code) => {
    expect(() => secondGoDeg({ peakDeg, releasedDeg }, wantedDeg, slope)).toThrow(
      expect.objectContaining({ code }),
    )
  })
})
