import { describe, expect, it } from 'vitest'
import {
  BESIDE_LEGS,
  interceptPrior,
  LEG_MM,
  wholeVariance,
} from '../../../../server/bend/leg-prior.ts'
import { materialOf } from '../../../../server/bend/materials.ts'
import { predictAt } from '../../../../server/bend/normal-inverse-gamma.ts'
import { legSpringbackDeg } from '../../../../server/bend/section-estimates.ts'
import { coefficientsOf, priorFor } from '../../../../server/bend/springback.ts'

describe('interceptPrior', () => {
  it('foretells the leg of any slope by one factor', () => {
    for (const slope of [0.01, 0.03, 0.2])
      expect(interceptPrior(slope, 114.3).perSlopeDeg * slope).toBeCloseTo(
        legSpringbackDeg(slope, 114.3, LEG_MM),
        12,
      )
  })

  it('is as unsure of the leg as blocks of 50 to 150 mm differ, all as likely', () => {
    const { legVariance } = interceptPrior(0.03, 114.3)
    const [short, long] = [50, 150].map((legMm) => legSpringbackDeg(0.03, 114.3, legMm))
    // Standard deviation of what is spread evenly: the width over √12, here to a twentieth.
    expect(Math.sqrt(legVariance) / ((long! - short!) / Math.sqrt(12))).toBeCloseTo(1, 1)
  })

  it('with no leg at all only frame and zero are left', () => {
    const { shopVariance, dieVariance, setupVariance } = BESIDE_LEGS
    const rest = shopVariance + dieVariance + setupVariance
    expect(wholeVariance(interceptPrior(0.03, 1e12))).toBeCloseTo(rest, 9)
    expect(Math.sqrt(rest)).toBeCloseTo(0.286, 3)
  })
})

describe('a tube on two dies', () => {
  const material = materialOf('316l-annealed')
  const on = (clrMm: number) => priorFor({ odMm: 38.1, wallMm: 1.65, clrMm }, material)

  it('the tight die has the longer legs for its bend, and is less sure of them', () => {
    const [tight, wide] = [on(60), on(240)]
    expect(coefficientsOf(tight).interceptDeg).toBeGreaterThan(
      1.5 * coefficientsOf(wide).interceptDeg,
    )
    const [unsure, surer] = [tight, wide].map(({ belief }) => predictAt(belief, [1, 0]).lineScale)
    expect(unsure).toBeGreaterThan(surer!)
  })

  it('a belief that the arc springs more believes it of the legs too', () => {
    const { belief } = on(114.3)
    const spread = (row: readonly [number, number]) => predictAt(belief, row).lineScale ** 2
    expect(spread([1, 90])).toBeGreaterThan(spread([1, 0]) + spread([0, 90]))
  })
})
