import { describe, expect, it } from 'vitest'
import { aimFor, NO_SET_SENTENCE } from '../../../../server/bend/aim.ts'
import {
  aimUnderCosts,
  type CostAim,
  type CostAimOptions,
} from '../../../../server/bend/cost-aim.ts'
import { materialOf } from '../../../../server/bend/materials.ts'
import { coefficientsOf, priorFor, springbackOfNext } from '../../../../server/bend/springback.ts'
import { studentBelow } from '../../../../server/bend/student-t.ts'
import { modelFrom } from '../../../support/springback-alone.ts'

const tube = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }
const prior = priorFor(tube, materialOf('316l-annealed'))
const taught = modelFrom(
  prior,
  Array.from({ length: 30 }, (_, k) => {
    const loadedDeg = 30 + 30 * (k % 4)
    return { loadedDeg, springbackDeg: 0.6 + 0.03 * loadedDeg + 0.05 * Math.sin(9 * k) }
  }),
)
const usual: CostAimOptions = {
  wantedDeg: 90,
  toleranceDeg: 0.5,
  costs: { oneMoreGo: 1, scrap: 10 },
}

function aimed(model = prior, options: Partial<CostAimOptions> = {}): CostAim {
  const aim = aimUnderCosts(model, { ...usual, ...options })
  if (aim.commandedDeg === null) throw new Error(aim.why)
  return aim
}

describe('aimUnderCosts', () => {
  it('the first bend aims short, a learned set-up hardly', () => {
    expect(aimed().shortDeg).toBeGreaterThan(0.5)
    expect(aimed(taught).shortDeg).toBeLessThan(0.35)
    expect(aimed(taught).shortDeg).toBeGreaterThan(0)
  })

  it('costs that are equal, or scrap that is cheaper, mean the middle', () => {
    for (const scrap of [1, 0.2]) {
      const aim = aimed(prior, { costs: { oneMoreGo: 1, scrap } })
      const middle = aimFor(prior, 90)
      expect(aim.shortDeg).toBe(0)
      expect(aim.commandedDeg).toBeCloseTo(middle.commandedDeg ?? Number.NaN, 9)
    }
  })

  it('only the ratio of the costs counts', () => {
    const cents = aimed(taught, { costs: { oneMoreGo: 150, scrap: 1500 } })
    expect(cents.commandedDeg).toBe(aimed(taught).commandedDeg)
    expect(cents.cost).toBeCloseTo(150 * aimed(taught).cost, 9)
  })

  it.each([2, 5, 20, 80])('scrap at %d goes: no other shortfall near costs less', (scrap) => {
    const options = { costs: { oneMoreGo: 1, scrap } }
    const { shortDeg, cost } = aimed(taught, options)
    const middle = aimed(taught, { costs: { oneMoreGo: 1, scrap: 1 } }).commandedDeg
    const { scaleDeg, degreesOfFreedom } = springbackOfNext(taught, middle)
    const costAt = (deg: number) =>
      studentBelow((deg - 0.5) / scaleDeg, degreesOfFreedom) +
      scrap * studentBelow(-(deg + 0.5) / scaleDeg, degreesOfFreedom)
    expect(costAt(shortDeg)).toBeCloseTo(cost, 10)
    for (const step of [-0.05, -0.01, 0.01, 0.05])
      expect(costAt(shortDeg + step)).toBeGreaterThanOrEqual(cost)
  })

  it('dearer scrap aims shorter, a wider tolerance less so', () => {
    const shorts = [2, 5, 20, 80].map(
      (scrap) => aimed(taught, { costs: { oneMoreGo: 1, scrap } }).shortDeg,
    )
    expect(shorts).toEqual([...shorts].sort((a, b) => a - b))
    expect(aimed(taught, { toleranceDeg: 1.5 }).over).toBeLessThan(aimed(taught).over)
  })

  it('an unsteady hand aims shorter', () => {
    expect(aimed(taught, { stopSdDeg: 0.3 }).shortDeg).toBeGreaterThan(aimed(taught).shortDeg)
  })

  it('too wide a spread for one go: planned at two, over in at most one of 200', () => {
    const aim = aimed(prior, { toleranceDeg: 0.05, costs: { oneMoreGo: 1, scrap: 100 } })
    expect(aim.over).toBeCloseTo(0.005, 6)
    expect(aim.under).toBeGreaterThan(0.9)
    expect(aim.shortDeg).toBeLessThan(30)
  })

  it('never shorter than a third of the bend', () => {
    const stiff = priorFor({ ...tube, clrMm: 400 }, materialOf('ti-grade-9'))
    const options = { wantedDeg: 6, costs: { oneMoreGo: 1, scrap: 100 }, toleranceDeg: 0.1 }
    expect(aimed(stiff, options).shortDeg).toBeLessThanOrEqual(2)
  })

  it('what it says adds up', () => {
    const aim = aimed(taught)
    expect(aim.cost).toBeCloseTo(aim.under + 10 * aim.over, 12)
    expect(aim.commandedDeg - aim.springbackDeg).toBeCloseTo(90 - aim.shortDeg, 9)
    expect(aim.bendsLearned).toBe(30)
    expect(aim.lowDeg).toBeLessThan(aim.highDeg)
  })
})

describe('why, in one sentence', () => {
  it.each([
    [
      aimed(prior, { lotBends: 0 }).why,
      /^First bend of this lot, from the section's mechanics: aimed \d\.\d° short, since over is scrap\.$/,
    ],
    [
      aimed(prior, { lotBends: 7 }).why,
      /^First bend of this set-up, from 7 bends of its lot: aimed \d\.\d° short/,
    ],
    [
      aimed(prior, { bendsMade: 1, lotBends: 0 }).why,
      /^No bend of this set-up counts yet, from the section's mechanics: aimed \d\.\d° short/,
    ],
    [
      aimed(prior, { bendsMade: 1, lotBends: 7 }).why,
      /^No bend of this set-up counts yet, from 7 bends of its lot: aimed \d\.\d° short/,
    ],
    [
      aimed(taught, { toleranceDeg: 0.1 }).why,
      /^After 30 bends of this set-up: aimed 0\.\d° short/,
    ],
    [
      aimed(taught, { costs: { oneMoreGo: 1, scrap: 1 } }).why,
      /^After 30 bends of this set-up: 3\.\d° allowed, right within ±0\.\d°\.$/,
    ],
  ])('%s', (why, expected) => expect(why).toMatch(expected))

  it('one bend is said as one', () => {
    const one = modelFrom(prior, [{ loadedDeg: 90, springbackDeg: 3.2 }])
    expect(aimed(one).why).toMatch(/^After 1 bend of this set-up: /)
  })
})

describe('no aim', () => {
  it('a tube that takes no set', () => {
    const limp = priorFor({ ...tube, clrMm: 10_000 }, materialOf('1026-dom'))
    expect(coefficientsOf(limp).slope).toBeGreaterThan(0.5)
    expect(aimUnderCosts(limp, usual)).toEqual({ commandedDeg: null, why: NO_SET_SENTENCE })
  })

  it('farther than the bender goes', () => {
    const aim = aimUnderCosts(prior, { ...usual, maximumDeg: 91 })
    expect(aim.commandedDeg).toBeNull()
    expect(aim.why).toContain('past 91°')
  })

  it.each([
    [{ wantedDeg: -5 }, 'WANTED_ANGLE'],
    [{ wantedDeg: Number.NaN }, 'WANTED_ANGLE'],
    [{ toleranceDeg: 0 }, 'TOLERANCE'],
    [{ toleranceDeg: Number.NaN }, 'TOLERANCE'],
    [{ stopSdDeg: -1 }, 'STANDARD_UNCERTAINTY'],
    [{ costs: { oneMoreGo: 0, scrap: 5 } }, 'LOSS_RATIO'],
    [{ costs: { oneMoreGo: 1, scrap: 500 } }, 'LOSS_RATIO'],
    [{ costs: { oneMoreGo: -1, scrap: 5 } }, 'LOSS_RATIO'],
    [{ maximumDeg: 0 }, 'MAXIMUM_ANGLE'],
  ])('%j is refused', (wrong, code) => {
    expect(() => aimUnderCosts(prior, { ...usual, ...wrong })).toThrow(
      expect.objectContaining({ code }),
    )
  })
})
