import { describe, expect, it } from 'vitest'
import { readoutGap, releasedFromTwo } from '../../../../server/bend/two-readings.ts'

const pair = (automaticDeg: number, checkedDeg: number, automaticSd = 0.1, checkedSd = 0.1) => ({
  automatic: { deg: automaticDeg, standardDeg: automaticSd },
  checked: { deg: checkedDeg, standardDeg: checkedSd },
})
const NO_GAP = { gapDeg: 0, persistent: false }

describe('releasedFromTwo', () => {
  it('equal uncertainties: the mean, by √2 surer', () => {
    const { deg, standardDeg } = releasedFromTwo(pair(90.2, 89.8), NO_GAP)
    expect(deg).toBeCloseTo(90, 12)
    expect(standardDeg).toBeCloseTo(0.1 / Math.SQRT2, 12)
  })

  it('weights are 1/u²: 0.1 against 0.2 is four to one', () => {
    expect(releasedFromTwo(pair(91, 90, 0.1, 0.2), NO_GAP).deg).toBeCloseTo(90.8, 12)
  })

  it('a persistent gap of the readout is not taken for springback', () => {
    const gap = { gapDeg: 0.5, persistent: true }
    expect(releasedFromTwo(pair(90.5, 90), gap).deg).toBeCloseTo(90.5, 12)
    // A gap that is not established is weighed in like any other difference.
    expect(releasedFromTwo(pair(90.5, 90), { ...gap, persistent: false }).deg).toBeCloseTo(
      90.25,
      12,
    )
  })

  it.each([
    [pair(Number.NaN, 90), 'RELEASED_ANGLE'],
    [pair(90, Infinity), 'RELEASED_ANGLE'],
    [pair(90, 90, 0), 'STANDARD_UNCERTAINTY'],
    [pair(90, 90, 0.1, -1), 'STANDARD_UNCERTAINTY'],
    [pair(90, 90, Number.NaN), 'STANDARD_UNCERTAINTY'],
  ])('%j is refused', (wrong, code) => {
    expect(() => releasedFromTwo(wrong, NO_GAP)).toThrow(expect.objectContaining({ code }))
    expect(() => readoutGap([wrong])).toThrow(expect.objectContaining({ code }))
  })
})

describe('readoutGap', () => {
  it('nothing checked: nothing to say', () => {
    expect(readoutGap([])).toMatchObject({ pairs: 0, persistent: false, sentence: null })
  })

  it('0.4° over three bends is the readout’s, and the sentence says what to do', () => {
    const gap = readoutGap([pair(90.4, 90), pair(45.35, 45), pair(120.45, 120)])
    expect(gap.gapDeg).toBeCloseTo(0.4, 12)
    expect(gap.standardDeg).toBeCloseTo(Math.sqrt(0.02 / 3), 12)
    expect(gap.persistent).toBe(true)
    expect(gap.sentence).toBe(
      'The readout shows 0.4° more than the angle finder, over the last 3 bends checked: the readout or ' +
        'the finder is off, and the tube springs no otherwise. Verify the readout with the reference ' +
        'piece, the finder against a known angle.',
    )
  })

  it('two are too few, and a difference within the uncertainties is none', () => {
    expect(readoutGap([pair(91, 90), pair(91, 90)]).persistent).toBe(false)
    expect(readoutGap([pair(90.1, 90), pair(60.2, 60), pair(30.05, 30)]).persistent).toBe(false)
  })

  it('less than a tenth is not worth a word, however certain', () => {
    const pairs = Array.from({ length: 20 }, () => pair(90.08, 90, 0.01, 0.01))
    expect(readoutGap(pairs).persistent).toBe(false)
  })

  it('differences that contradict each other widen the mean', () => {
    const pairs = [pair(91, 90), pair(89.4, 90), pair(91.2, 90), pair(89.8, 90)]
    const gap = readoutGap(pairs)
    expect(gap.standardDeg).toBeGreaterThan(0.3)
    expect(gap.persistent).toBe(false)
  })

  it('a verified readout forgets: only the last 20 count', () => {
    const off = Array.from({ length: 30 }, () => pair(90.5, 90))
    const right = Array.from({ length: 20 }, () => pair(90, 90))
    expect(readoutGap([...off, ...right])).toMatchObject({
      gapDeg: 0,
      pairs: 20,
      persistent: false,
    })
  })

  it('less is said as less', () => {
    const pairs = Array.from({ length: 4 }, () => pair(89.5, 90))
    expect(readoutGap(pairs).sentence).toContain('0.5° less')
  })
})
