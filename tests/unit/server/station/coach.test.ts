import { describe, expect, test } from 'vitest'
import { NO_SET_SENTENCE } from '../../../../server/bend/aim.ts'
import { materialOf } from '../../../../server/bend/materials.ts'
import { priorFor, type SpringbackModel } from '../../../../server/bend/springback.ts'
import {
  againFrom,
  changeSentence,
  firstAim,
  lessonFrom,
  millionths,
  predictionAt,
} from '../../../../server/station/coach.ts'

const priorAt = (clrMm = 114.3) =>
  priorFor({ odMm: 38.1, wallMm: 1.65, clrMm }, materialOf('316l-annealed'))

const priorOnly = (model: SpringbackModel) => ({ model, lotBends: 0, materialBends: 0 })

describe('the aim', () => {
  test.each([
    [
      { lotBends: 0, materialBends: 0 },
      /^First bend of this set-up, from the section's mechanics: /,
    ],
    [{ lotBends: 1, materialBends: 9 }, /^First bend of this set-up, from 1 bend of its lot: /],
    [{ lotBends: 0, materialBends: 9 }, /^First bend of this lot, from 9 bends of its material: /],
  ])('of a first bend says what it rests on: %o', (others, why) => {
    expect(firstAim({ model: priorAt(), ...others }, 90).why).toMatch(why)
  })
  test('is rounded as it is sent: what the chain hears is what the page shows', () => {
    const { commandedDeg } = firstAim(priorOnly(priorAt()), 90)
    expect(commandedDeg).toBe(millionths(commandedDeg ?? 0))
  })
  test('is refused with a reason where the tube takes no set', () => {
    expect(firstAim(priorOnly(priorAt(30_000)), 90)).toEqual({
      commandedDeg: null,
      why: NO_SET_SENTENCE,
    })
  })
  test('of a second go is none where there is none of a first, whatever the tube did', () => {
    for (const clrMm of [1000, 2000, 5000, 30_000]) {
      const model = priorAt(clrMm)
      if (firstAim(priorOnly(model), 90).commandedDeg !== null) continue
      expect(againFrom(model, { peakDeg: 5, releasedDeg: 2 }, 90)).toBeNull()
    }
    expect(againFrom(priorAt(), { peakDeg: 92, releasedDeg: 88 }, 90)).not.toBeNull()
  })
  test('again: past the old peak by what is missing; none when nothing is', () => {
    const model = priorAt()
    const againDeg = againFrom(model, { peakDeg: 92, releasedDeg: 89 }, 90)
    expect(againDeg).toBeGreaterThan(93)
    expect(againDeg).toBeLessThan(93.1)
    expect(againFrom(model, { peakDeg: 92, releasedDeg: 90.4 }, 90)).toBeNull()
  })
})

describe('what a bend taught, in words', () => {
  const aimed = (springbackDeg: number) => ({
    commandedDeg: 90 + springbackDeg,
    springbackDeg,
    lowDeg: 89,
    highDeg: 91,
    bendsLearned: 1,
    why: '',
  })
  test.each([
    [3, 3.02, 'This bend confirms the springback allowed: 3.0° for 90°.'],
    [3, 3.4, 'From this bend on, 0.4° more springback is allowed: 3.4° for 90°.'],
    [3, 2.1, 'From this bend on, 0.9° less springback is allowed: 2.1° for 90°.'],
  ])('from %d to %d', (before, after, sentence) => {
    expect(changeSentence(aimed(before), aimed(after), 90)).toBe(sentence)
  })
  test('nothing without an aim', () => {
    expect(changeSentence(null, aimed(3), 90)).toBeNull()
    expect(changeSentence({ commandedDeg: null, why: '' }, aimed(3), 90)).toBeNull()
    expect(changeSentence(aimed(3), null, 90)).toBeNull()
  })
})

test('a bend that may not teach says why, in the words of the record', () => {
  const model = priorAt()
  const bend = { peakDeg: 93, releasedDeg: 95, verdict: 'over' } as const
  expect(lessonFrom(model, bend)).toMatchObject({
    learned: 'no',
    notLearnedWhy: expect.stringMatching(/springback/),
  })
  expect(lessonFrom(model, { ...bend, releasedDeg: 90 })).toEqual({
    learned: 'yes',
    notLearnedWhy: null,
  })
})

test('the prediction of a record is in millionths and brackets its middle', () => {
  const { springbackDeg, lowDeg, highDeg } = predictionAt(priorAt(), 93)
  expect(lowDeg).toBeLessThan(springbackDeg)
  expect(highDeg).toBeGreaterThan(springbackDeg)
  for (const value of [springbackDeg, lowDeg, highDeg]) expect(value).toBe(millionths(value))
})
