import { describe, expect, test } from 'vitest'
import { NO_SET_SENTENCE } from '../../../../server/bend/aim.ts'
import type { StoredLesson } from '../../../../server/history/history.ts'
import type { StoredSetup } from '../../../../server/messages/setup.ts'
import {
  againFrom,
  changeSentence,
  firstAim,
  lessonFrom,
  millionths,
  modelOf,
  predictionAt,
} from '../../../../server/station/coach.ts'

const setup = (clrMm = 114.3): StoredSetup => ({
  id: 1,
  createdAt: '2026-01-05T07:00:00.000+00:00',
  setup: {
    station: 'Bench',
    die: { name: 'die', odMm: 38.1, clrMm },
    tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'lot' },
    sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
  },
})

const history = (...lessons: StoredLesson[]) => ({ lessons: () => lessons })
const taught = { id: 1, setupId: 1, peakDeg: 93, springbackDeg: 4, simulated: false }

describe('the model of a set-up', () => {
  test('is its prior when nothing was bent', () => {
    expect(modelOf(setup(), history(), false).bends).toBe(0)
  })
  test('learns from bends of its own set-up, and from no other', () => {
    const model = modelOf(setup(), history(taught, { ...taught, setupId: 2 }), false)
    expect(model).toEqual(modelOf(setup(), history(taught), false))
    expect(model.bends).toBe(1)
  })
  test('of real tube learns nothing from simulated bends, nor the other way round', () => {
    const both = history(taught, { ...taught, springbackDeg: 9, simulated: true })
    expect(modelOf(setup(), both, false)).toEqual(modelOf(setup(), history(taught), false))
    const [simulated, real] = [true, false].map((is) => firstAim(modelOf(setup(), both, is), 90))
    expect(simulated?.commandedDeg ?? 0).toBeGreaterThan((real?.commandedDeg ?? 999) + 1)
  })
  test('moves the aim toward what was seen', () => {
    const [before, after] = [history(), history(taught)].map((bends) =>
      firstAim(modelOf(setup(), bends, false), 90),
    )
    expect(after?.commandedDeg ?? 0).toBeGreaterThan(before?.commandedDeg ?? 999)
  })
  test('an unknown material is refused by name', () => {
    const unknown = setup()
    unknown.setup.tube.material = 'cheese'
    expect(() => modelOf(unknown, history(), false)).toThrow(/cheese/)
  })
})

describe('the aim', () => {
  test('is rounded as it is sent: what the chain hears is what the page shows', () => {
    const { commandedDeg } = firstAim(modelOf(setup(), history(), false), 90)
    expect(commandedDeg).toBe(millionths(commandedDeg ?? 0))
  })
  test('is refused with a reason where the tube takes no set', () => {
    expect(firstAim(modelOf(setup(30_000), history(), false), 90)).toEqual({
      commandedDeg: null,
      why: NO_SET_SENTENCE,
    })
  })
  test('of a second go is none where there is none of a first, whatever the tube did', () => {
    for (const clrMm of [1000, 2000, 5000, 30_000]) {
      const model = modelOf(setup(clrMm), history(), false)
      if (firstAim(model, 90).commandedDeg !== null) continue
      expect(againFrom(model, { peakDeg: 5, releasedDeg: 2 }, 90)).toBeNull()
    }
    expect(
      againFrom(modelOf(setup(), history(), false), { peakDeg: 92, releasedDeg: 88 }, 90),
    ).not.toBeNull()
  })
  test('again: past the old peak by what is missing; none when nothing is', () => {
    const model = modelOf(setup(), history(), false)
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
  const model = modelOf(setup(), history(), false)
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
  const { springbackDeg, lowDeg, highDeg } = predictionAt(modelOf(setup(), history(), false), 93)
  expect(lowDeg).toBeLessThan(springbackDeg)
  expect(highDeg).toBeGreaterThan(springbackDeg)
  for (const value of [springbackDeg, lowDeg, highDeg]) expect(value).toBe(millionths(value))
})
