import { describe, expect, test } from 'vitest'
import {
  apartSentence,
  differenceSentence,
  expectedSentence,
  lessonSentence,
} from '../../../../server/bend/plain-words.ts'

const EXPECTED = { wantedDeg: 90, loadedDeg: 93.42, springbackDeg: 3.42, halfDeg: 0.41 }

describe('what is expected', () => {
  test.each([
    [{ ownBends: 12, lotBends: 12, materialBends: 40 }, /^From 12 bends of this set-up: /],
    [{ ownBends: 1, lotBends: 1, materialBends: 1 }, /^From 1 bend of this set-up: /],
    [
      { ownBends: 0, lotBends: 3, materialBends: 9 },
      /^No bend of this set-up .* From 3 bends of its lot: /,
    ],
    [
      { ownBends: 0, lotBends: 0, materialBends: 9 },
      /^No bend of this lot .* From 9 bends of its material: /,
    ],
    [{ ownBends: 0, lotBends: 0, materialBends: 0 }, /mechanics alone: /],
  ])('names what it rests on: %j', (rests, beginning) => {
    expect(expectedSentence(EXPECTED, rests)).toMatch(beginning)
  })

  test('rounds what it is known to up', () => {
    const sentence = expectedSentence(EXPECTED, { ownBends: 2, lotBends: 2, materialBends: 2 })
    expect(sentence).toContain(
      'a bend that is to be left at 90° springs back 3.4° from 93.4°, within ±0.5°.',
    )
  })

  test('says a half degree as it was wanted', () => {
    const rests = { ownBends: 2, lotBends: 2, materialBends: 2 }
    expect(expectedSentence({ ...EXPECTED, wantedDeg: 37.5 }, rests)).toContain('left at 37.5° ')
  })
})

describe('this lot and the last', () => {
  test('differ only where the difference is larger than it is known to', () => {
    const more = { differenceDeg: 0.62, expandedDeg: 0.23, isTold: true }
    expect(differenceSentence(more, 90, 'A1')).toBe(
      'This lot springs 0.6° more at 90° than the last, A1, known to ±0.3°.',
    )
    const less = { ...more, differenceDeg: -0.62 }
    expect(differenceSentence(less, 90, 'A1')).toContain('0.6° less at 90°')
    const unknown = { differenceDeg: 0.22, expandedDeg: 0.8, isTold: false }
    expect(differenceSentence(unknown, 90, 'A1')).toMatch(
      /^This lot and the last, A1, cannot be told apart yet: 0.2° more at 90°, known to ±0.8° only\.$/,
    )
  })
})

describe('what the next bend teaches', () => {
  test('is told from, to, and what will remain', () => {
    expect(lessonSentence({ nowDeg: 1.21, afterDeg: 0.58, leftDeg: 0.39 }, 90)).toBe(
      'The next bend to 90° will narrow that from ±1.3° to about ±0.6°; what then remains, ' +
        'down to about ±0.4°, is the scatter from tube to tube.',
    )
  })
  test('is hardly anything once the line is known', () => {
    expect(lessonSentence({ nowDeg: 0.24, afterDeg: 0.23, leftDeg: 0.2 }, 90)).toMatch(/hardly/)
  })
})

test.each([
  [0, 0, null],
  [
    1,
    0,
    '1 bend is set apart and teaches nothing until later bends bear it out or a person puts it back.',
  ],
  [
    2,
    0,
    '2 bends are set apart and teach nothing until later bends bear it out or a person puts it back.',
  ],
  [0, 1, 'A person decided on 1 bend.'],
  [1, 2, /puts it back\. A person decided on 2 bends\.$/],
])('%d set apart, %d decided', (apart, decided, sentence) => {
  if (sentence === null) expect(apartSentence(apart, decided)).toBeNull()
  else expect(apartSentence(apart, decided)).toMatch(sentence)
})
