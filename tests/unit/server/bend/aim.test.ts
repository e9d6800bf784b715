import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  type Aim,
  aimFor,
  loadedForDeg,
  NO_SET_SENTENCE,
  NO_SET_SLOPE,
} from '../../../../server/bend/aim.ts'
import { materialOf } from '../../../../server/bend/materials.ts'
import {
  priorFor,
  type SpringbackModel,
  springbackAtDeg,
} from '../../../../server/bend/springback.ts'
import { learn } from '../../../support/springback-alone.ts'

const SEED = 4106

const tube = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }
const prior = priorFor(tube, materialOf('316l-annealed'))
/** So large a radius that hardly anything yields. */
const limp = priorFor({ ...tube, clrMm: 10_000 }, materialOf('1026-dom'))

function aimed(model: SpringbackModel, wantedDeg: number, options = {}): Aim {
  const aim = aimFor(model, wantedDeg, options)
  if (aim.commandedDeg === null) throw new Error(aim.why)
  return aim
}

describe('loadedForDeg', () => {
  const possible = fc.record({
    interceptDeg: fc.double({ min: -0.3, max: 1.5, noNaN: true }),
    slope: fc.double({ min: 0, max: 0.3, noNaN: true }),
  })

  it('leaves the wanted angle to 1e-9 (seed 4106)', () =>
    fc.assert(
      fc.property(possible, fc.double({ min: 0.5, max: 200, noNaN: true }), (at, wantedDeg) => {
        const loadedDeg = loadedForDeg(at, wantedDeg)!
        expect(Math.abs(loadedDeg - springbackAtDeg(at, loadedDeg) - wantedDeg)).toBeLessThan(1e-9)
      }),
      { seed: SEED },
    ))

  it('without an intercept it is wanted/(1 − b)', () => {
    expect(loadedForDeg({ interceptDeg: 0, slope: 0.04 }, 90)).toBeCloseTo(93.75, 11)
  })

  it('never asks for less than the wanted angle', () => {
    expect(loadedForDeg({ interceptDeg: -0.3, slope: 0 }, 90)).toBe(90)
  })

  it('small bends: 5° on a stiff tube', () => {
    const at = { interceptDeg: 0.6, slope: 0.2 }
    const loadedDeg = loadedForDeg(at, 5)!
    expect(loadedDeg).toBeGreaterThan(6.25)
    expect(loadedDeg - springbackAtDeg(at, loadedDeg)).toBeCloseTo(5, 9)
  })

  it('is null from the slope on where the answer is only the yield’s error', () => {
    expect(loadedForDeg({ interceptDeg: 0, slope: NO_SET_SLOPE - 0.001 }, 10)).toBeCloseTo(19.96, 2)
    expect(loadedForDeg({ interceptDeg: 0, slope: NO_SET_SLOPE }, 10)).toBeNull()
    expect(loadedForDeg({ interceptDeg: 0, slope: 1 }, 10)).toBeNull()
  })

  it('is null past the bender’s largest angle, and reaches it', () => {
    const at = { interceptDeg: 0, slope: 0.1 }
    expect(loadedForDeg(at, 90, 100)).toBeCloseTo(100, 9)
    expect(loadedForDeg(at, 90, 99.9)).toBeNull()
    expect(loadedForDeg(at, 120, 100)).toBeNull()
  })

  it.each([0, -5, 361, Number.NaN, Infinity])('refuses %d° wanted', (wantedDeg) => {
    const at = { interceptDeg: 0, slope: 0.1 }
    const code = 'WANTED_ANGLE'
    expect(() => loadedForDeg(at, wantedDeg)).toThrow(expect.objectContaining({ code }))
  })

  it.each([0, -5, 361, Number.NaN])('refuses a largest angle of %d°', (maximumDeg) => {
    const at = { interceptDeg: 0, slope: 0.1 }
    const code = 'MAXIMUM_ANGLE'
    expect(() => loadedForDeg(at, 90, maximumDeg)).toThrow(expect.objectContaining({ code }))
  })
})

describe('aimFor', () => {
  it('stops past the wanted angle by the springback', () => {
    const aim = aimed(prior, 90)
    expect(aim.commandedDeg - aim.springbackDeg).toBeCloseTo(90, 9)
    expect(aim.lowDeg).toBeLessThan(90)
    expect(aim.highDeg).toBeGreaterThan(90)
    expect(aim.bendsLearned).toBe(0)
  })

  it('follows what was seen: more springback, farther', () => {
    const before = aimed(prior, 90)
    const more = aimed(learn(prior, { loadedDeg: 93, springbackDeg: 4.2 }), 90)
    const less = aimed(learn(prior, { loadedDeg: 93, springbackDeg: 1.8 }), 90)
    expect(more.commandedDeg).toBeGreaterThan(before.commandedDeg)
    expect(less.commandedDeg).toBeLessThan(before.commandedDeg)
  })

  it('says that a first aim rests on mechanics', () => {
    expect(aimed(prior, 90).why).toBe(
      "First bend of this set-up, from the section's mechanics: 3.1° allowed, right within ±1.6°.",
    )
  })

  it('says how many bends a later aim rests on', () => {
    const one = learn(prior, { loadedDeg: 93, springbackDeg: 3.1 })
    const two = learn(one, { loadedDeg: 93, springbackDeg: 3.1 })
    expect(aimed(one, 90).why).toMatch(/^After 1 bend of this set-up: 3\.\d° allowed, right within/)
    expect(aimed(two, 90).why).toMatch(/^After 2 bends of this set-up: /)
  })

  it('stops shorter the dearer over is, and says so', () => {
    const commanded = [1, 3, 10, 30].map((overToUnderLoss) => aimed(prior, 90, { overToUnderLoss }))
    for (const [k, aim] of commanded.slice(1).entries())
      expect(aim.commandedDeg).toBeLessThan(commanded[k]!.commandedDeg)
    expect(commanded[0]!.why).not.toContain('short')
    expect(commanded[2]!.why).toMatch(/aimed [01]\.\d° short, since over is scrap\.$/)
  })

  it('goes farther when under is the dearer', () => {
    expect(aimed(prior, 90, { overToUnderLoss: 0.1 }).commandedDeg).toBeGreaterThan(
      aimed(prior, 90).commandedDeg,
    )
  })

  it('a shy aim at a small angle still goes to the wanted angle', () => {
    expect(aimed(prior, 0.5, { overToUnderLoss: 100 }).commandedDeg).toBeCloseTo(0.5, 9)
  })

  it('gives no angle for a tube that takes no set', () => {
    expect(aimFor(limp, 30)).toEqual({ commandedDeg: null, why: NO_SET_SENTENCE })
  })

  it('gives no angle past what the bender reaches', () => {
    const { commandedDeg, why } = aimFor(prior, 90, { maximumDeg: 92 })
    expect(commandedDeg).toBeNull()
    expect(why).toContain('past 92°')
  })

  it('a bend that over-allows may still be past the bender’s reach', () => {
    const middleDeg = aimed(prior, 90).commandedDeg
    const options = { overToUnderLoss: 0.01, maximumDeg: middleDeg + 0.01 }
    expect(aimFor(prior, 90, options).commandedDeg).toBeNull()
  })

  it.each([0, 0.009, 101, -1, Number.NaN])('refuses a loss ratio of %d', (overToUnderLoss) => {
    const code = 'LOSS_RATIO'
    expect(() => aimFor(prior, 90, { overToUnderLoss })).toThrow(expect.objectContaining({ code }))
  })

  it.each([0, -1, Number.NaN])('refuses %d° wanted', (wantedDeg) => {
    const code = 'WANTED_ANGLE'
    expect(() => aimFor(prior, wantedDeg)).toThrow(expect.objectContaining({ code }))
  })
})
