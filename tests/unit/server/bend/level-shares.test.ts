import { inverse, Matrix } from 'ml-matrix'
import { describe, expect, it } from 'vitest'
import { evidenceOf, widened } from '../../../../server/bend/level-shares.ts'
import { beliefFrom, observe } from '../../../../server/bend/normal-inverse-gamma.ts'

const flat = beliefFrom({ mean: [0, 0], precision: [0, 0], shape: -1, rate: 0 })
const prior = { legDeg: 0.5, slope: 0.03 }
const rows = [
  { row: [0.99, 30] as const, y: 1.5 },
  { row: [1, 60] as const, y: 2.6 },
  { row: [1, 90] as const, y: 3.4 },
]
const belief = (count: number) =>
  rows.slice(0, count).reduce((held, { row, y }) => observe(held, row, y), flat)

describe('evidenceOf', () => {
  it.each([0, 1, 2, 3])('%d bends: the sums of squares themselves', (count) => {
    const evidence = evidenceOf(belief(count), prior, 0.04)
    let [p, c, q, a, r] = [0, 0, 0, 0, 0]
    for (const { row, y } of rows.slice(0, count)) {
      // A ratio of 1 + ρ makes legs and arc give so much more; α comes on top.
      const [x1, x2] = [row[0], prior.legDeg * row[0] + prior.slope * row[1]]
      const off = y - x2
      p += (x1 * x1) / 0.04
      c += (x1 * x2) / 0.04
      q += (x2 * x2) / 0.04
      a += (x1 * off) / 0.04
      r += (x2 * off) / 0.04
    }
    expect(evidence.interceptPrecision).toBeCloseTo(p, 9)
    expect(evidence.crossPrecision).toBeCloseTo(c, 9)
    expect(evidence.ratioPrecision).toBeCloseTo(q, 9)
    expect(evidence.interceptRight).toBeCloseTo(a, 9)
    expect(evidence.ratioRight).toBeCloseTo(r, 9)
  })
})

describe('widened', () => {
  const departure = { interceptVariance: 0.03, ratioVariance: 0.0016 }

  it('three bends: (J⁻¹ + W)⁻¹ by matrices', () => {
    const e = evidenceOf(belief(3), prior, 0.04)
    const j = new Matrix([
      [e.interceptPrecision, e.crossPrecision],
      [e.crossPrecision, e.ratioPrecision],
    ])
    const h = Matrix.columnVector([e.interceptRight, e.ratioRight])
    const covariance = inverse(j).add(Matrix.diag([0.03, 0.0016]))
    const wide = inverse(covariance)
    const right = wide.mmul(inverse(j)).mmul(h)
    const w = widened(e, departure)
    expect(w.interceptPrecision).toBeCloseTo(wide.get(0, 0), 8)
    expect(w.crossPrecision).toBeCloseTo(wide.get(0, 1), 8)
    expect(w.ratioPrecision).toBeCloseTo(wide.get(1, 1), 8)
    expect(w.interceptRight).toBeCloseTo(right.get(0, 0), 8)
    expect(w.ratioRight).toBeCloseTo(right.get(1, 0), 8)
  })

  it('one bend, of which J has no inverse, says no more than its own spread allows', () => {
    const w = widened(evidenceOf(belief(1), prior, 0.04), departure)
    expect(w.ratioPrecision).toBeGreaterThan(0)
    expect(w.ratioPrecision).toBeLessThan(1 / 0.0016)
    expect(w.interceptPrecision * w.ratioPrecision - w.crossPrecision ** 2).toBeCloseTo(0, 8)
  })

  it('no bends say nothing; no departure changes nothing', () => {
    expect(widened(evidenceOf(flat, prior, 0.04), departure).ratioPrecision).toBe(0)
    const evidence = evidenceOf(belief(3), prior, 0.04)
    expect(widened(evidence, { interceptVariance: 0, ratioVariance: 0 })).toEqual(evidence)
  })
})
