import { describe, expect, it } from 'vitest'
import { measuredGoes, quantile, runFamily, watched } from '../support/bend-family.ts'
import { randomBend, seeded } from '../support/synthetic-trace.ts'

/**
 * The goal: both angles within 0.05° and no missed or false bend, on random traces with 0.03° of noise at 200 Hz.
 * The long run of 10,000 is `tests/bench/bend-watch-figures.ts`; its figures are in DEVELOPERS.md.
 */
/**
 * Peaks that were once read wrong by 0.05° to 0.12°: in the valley of another hold, as a fall much steeper than the
 * rise; with fast creep taken for straight; with a rise so short that a parabola could stand for it.
 */
const ONCE_FAILED = [
  794, 2007, 2059, 3586, 6260, 6341, 7124, 7224, 8553, 11_808, 12_256, 13_275, 13_886, 14_029,
  15_701, 16_147, 17_365, 18_403,
]

describe('random bends', () => {
  it.each(ONCE_FAILED)('seed %d, which once failed, is within 0.05°', (seed) => {
    const { missed, made, beyond, goes } = runFamily(seed, 1, { fromS: 0.1, toS: 2 })
    expect({ missed, made, beyond }).toEqual({ missed: [], made: [], beyond: [] })
    expect(goes).toBeGreaterThan(0)
  })

  it('held for 0.1 s to 2 s, seeds 20001 to 20400: none missed, none made up, angles true', () => {
    const figures = runFamily(20_001, 400, { fromS: 0.1, toS: 2 })
    expect(figures.missed).toEqual([])
    expect(figures.made).toEqual([])
    expect(figures.strokesWrong).toEqual([])
    expect(quantile(figures.releasedErrorsDeg, 1)).toBeLessThan(0.05)
    expect(quantile(figures.peakErrorsDeg, 0.99)).toBeLessThan(0.05)
    // Standard errors are to be neither boasts nor excuses.
    expect(figures.errorOverSe).toBeGreaterThan(0.6)
    expect(figures.errorOverSe).toBeLessThan(1.3)
  })

  it('let off at once, seeds 30001 to 30120: none missed, released true, the top as well as can be', () => {
    const figures = runFamily(30_001, 120, { fromS: 0, toS: 0 })
    expect(figures.missed).toEqual([])
    expect(figures.made).toEqual([])
    expect(figures.strokesWrong).toEqual([])
    expect(quantile(figures.releasedErrorsDeg, 1)).toBeLessThan(0.05)
    // A die that turns back within one sample leaves its very top unseen: see DEVELOPERS.md.
    expect(quantile(figures.peakErrorsDeg, 0.95)).toBeLessThan(0.05)
    expect(quantile(figures.peakErrorsDeg, 1)).toBeLessThan(0.15)
  })

  it('the errors are those of a sensor: with none of its noise they all but vanish, seed 40001', () => {
    const { motion } = randomBend(seeded(40_001), { fromS: 0.5, toS: 1 })
    const samples = Array.from({ length: Math.floor(motion.endS() * 200) }, (_, index) => ({
      timeS: index / 200,
      angleDeg: motion.angleDeg(index / 200),
    }))
    const goes = measuredGoes(watched(samples))
    motion.goes.forEach((truth, place) => {
      expect(Math.abs(goes[place]!.peakDeg - truth.peakDeg)).toBeLessThan(0.02)
      expect(Math.abs(goes[place]!.releasedDeg - truth.releasedDeg!)).toBeLessThan(0.002)
    })
  })
})
