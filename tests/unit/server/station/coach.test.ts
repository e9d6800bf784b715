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

const priorOnly = (model: SpringbackModel) => ({
  ...{ model, bendsMade: 0 },
  ...{ lotBends: 0, materialBends: 0 },
})

/** Going again costs as much as scrap: the aim is the middle. */
const MIDDLE = { wantedDeg: 90, toleranceDeg: 0.5, costs: { oneMoreGo: 1, scrap: 1 } }

describe('the aim', () => {
  test('of a new lot is short on purpose, and says so; an unsteady hand and dearer scrap make it shorter', () => {
    const { costs, wantedDeg } = MIDDLE
    const job = { wantedDeg, toleranceDeg: 2 }
    const usual = firstAim(priorOnly(priorAt()), job, 0)
    const middle = firstAim(priorOnly(priorAt()), { ...job, costs }, 0)
    const unsteady = firstAim(priorOnly(priorAt()), job, 0.6)
    const dear = firstAim(priorOnly(priorAt()), { ...job, costs: { ...costs, scrap: 40 } }, 0)
    expect(usual.why).toMatch(
      /^First bend of this lot, from the section's mechanics: aimed \d\.\d° short, since over is scrap\.$/,
    )
    expect(middle.why).toMatch(/\d° allowed, right within ±\d\.\d°\.$/)
    for (const shorter of [unsteady, dear])
      expect(shorter.commandedDeg).toBeLessThan(usual.commandedDeg ?? 0)
    expect(usual.commandedDeg).toBeLessThan(middle.commandedDeg ?? 0)
  })
  test.each([
    [{ lotBends: 0, materialBends: 0 }, /^First bend of this lot, from the section's mechanics: /],
    [{ lotBends: 1, materialBends: 9 }, /^First bend of this set-up, from 1 bend of its lot: /],
    [{ lotBends: 0, materialBends: 9 }, /^First bend of this lot, from 9 bends of its material: /],
  ])('of a first bend says what it rests on: %o', (others, why) => {
    expect(firstAim({ model: priorAt(), bendsMade: 0, ...others }, MIDDLE, 0).why).toMatch(why)
  })
  test('is rounded as it is sent: what the chain hears is what the page shows', () => {
    const { commandedDeg } = firstAim(priorOnly(priorAt()), MIDDLE, 0)
    expect(commandedDeg).toBe(millionths(commandedDeg ?? 0))
  })
  test('is refused with a reason where the tube takes no set', () => {
    expect(firstAim(priorOnly(priorAt(30_000)), MIDDLE, 0)).toEqual({
      commandedDeg: null,
      why: NO_SET_SENTENCE,
    })
  })
  test('of a second go is none where there is none of a first, whatever the tube did', () => {
    for (const clrMm of [1000, 2000, 5000, 30_000]) {
      const model = priorAt(clrMm)
      if (firstAim(priorOnly(model), MIDDLE, 0).commandedDeg !== null) continue
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
    allowedDeg: springbackDeg,
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
  const bend = { peakDeg: 93, releasedDeg: 95, verdict: 'over' } as const
  expect(lessonFrom(bend)).toMatchObject({
    learned: 'no',
    notLearnedWhy: expect.stringMatching(/springback/),
  })
  expect(lessonFrom({ ...bend, releasedDeg: 90 })).toEqual({
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
