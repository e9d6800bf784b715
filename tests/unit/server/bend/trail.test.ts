import { describe, expect, it } from 'vitest'
import {
  at,
  clearTrail,
  extendTrail,
  meanOf,
  newTrail,
  oldestBin,
  TRAIL_BINS,
} from '../../../../server/bend/trail.ts'
import { seeded } from '../../../support/synthetic-trace.ts'

function fed(rateHz: number, durationS: number, angleDeg: (timeS: number) => number) {
  const trail = newTrail()
  let completed = 0
  for (let index = 0; index <= durationS * rateHz; index += 1)
    if (extendTrail(trail, { timeS: index / rateHz, angleDeg: angleDeg(index / rateHz) }))
      completed += 1
  return { trail, completed }
}

describe('bins', () => {
  it.each([20, 50, 100, 200])('%d Hz: one sample a bin, with its own time and angle', (rateHz) => {
    const { trail, completed } = fed(rateHz, 1, (timeS) => 7 * timeS)
    expect(completed).toBe(rateHz)
    expect(trail.end).toBe(rateHz)
    for (let bin = 0; bin < trail.end; bin += 1) {
      expect(at(trail.timeS, bin)).toBeCloseTo(bin / rateHz, 12)
      expect(at(trail.angleDeg, bin)).toBeCloseTo((7 * bin) / rateHz, 12)
    }
  })

  it('1 kHz: five samples a bin, averaged, and a line stays the line', () => {
    const { trail } = fed(1000, 1, (timeS) => 7 * timeS)
    expect(trail.end).toBe(200)
    for (let bin = 0; bin < trail.end; bin += 1)
      expect(at(trail.angleDeg, bin)).toBeCloseTo(7 * at(trail.timeS, bin), 9)
  })

  it('samples of one moment share a bin', () => {
    const trail = newTrail()
    for (const angleDeg of [1, 2, 6]) expect(extendTrail(trail, { timeS: 5, angleDeg })).toBe(false)
    expect(extendTrail(trail, { timeS: 5.005, angleDeg: 0 })).toBe(true)
    expect(at(trail.angleDeg, 0)).toBe(3)
  })
})

describe('windows', () => {
  it('the mean of any range is what adding up gives, also after the ring has gone round', () => {
    const random = seeded(21)
    const angles: number[] = []
    const trail = newTrail()
    for (let index = 0; index < 3000; index += 1) {
      angles.push(random.between(-180, 180))
      extendTrail(trail, { timeS: index / 200, angleDeg: angles.at(-1)! })
    }
    expect(trail.end - oldestBin(trail)).toBe(TRAIL_BINS - 1)
    for (let trial = 0; trial < 200; trial += 1) {
      const from = random.integer(oldestBin(trail), trail.end - 1)
      const to = random.integer(from + 1, trail.end)
      const sum = angles.slice(from, to).reduce((so, angleDeg) => so + angleDeg, 0)
      expect(meanOf(trail, from, to)).toBeCloseTo(sum / (to - from), 8)
    }
  })

  it('reach 0.1 s, 0.2 s and 0.4 s back', () => {
    const { trail } = fed(200, 2, () => 0)
    const newestS = at(trail.timeS, trail.end - 1)
    expect(newestS - at(trail.timeS, trail.short)).toBeCloseTo(0.095, 6)
    expect(newestS - at(trail.timeS, trail.late)).toBeCloseTo(0.195, 6)
    expect(newestS - at(trail.timeS, trail.early)).toBeCloseTo(0.395, 6)
  })

  it('never hold fewer bins than a mean needs, however sparse the samples', () => {
    const { trail } = fed(5, 4, () => 0)
    expect(trail.end - trail.short).toBe(2)
    expect(trail.end - trail.late).toBe(3)
    expect(trail.end - trail.early).toBe(6)
  })

  it('start again after a clear', () => {
    const { trail } = fed(200, 4, (timeS) => timeS)
    clearTrail(trail)
    expect(trail.end).toBe(0)
    for (let index = 0; index < 20; index += 1)
      extendTrail(trail, { timeS: 100 + index / 200, angleDeg: 50 })
    expect(meanOf(trail, trail.early, trail.end)).toBe(50)
    expect(meanOf(trail, 0, trail.end)).toBe(50)
  })
})
