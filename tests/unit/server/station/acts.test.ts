import { describe, expect, test } from 'vitest'
import type { OperatorAct } from '../../../../server/messages/commands.ts'
import { PHASES, type Result } from '../../../../server/messages/live.ts'
import { confirm, lineFor, type Moment, pedalAct } from '../../../../server/station/acts.ts'
import { Refused } from '../../../../server/web/station-door.ts'

const result = (againDeg: number | null): Result => ({
  bendId: null,
  go: {
    commandedDeg: 92,
    cueDeg: null,
    cueRateDegPerS: null,
    peakDeg: 92,
    peakAtS: 9,
    releasedDeg: 89,
    releasedSeDeg: 0.01,
    releasedAtS: 11,
    strokes: 1,
  },
  verdict: againDeg === null ? 'in' : 'under',
  errorDeg: -1,
  expandedUncertaintyDeg: 0.1,
  againDeg,
  goingAgain: false,
  learnedWhy: null,
})

const moment = (more: Partial<Moment> = {}): Moment => ({
  phase: 'no-datum',
  result: null,
  hasSetup: true,
  hasJob: true,
  hasSignal: true,
  ...more,
})

const refusal = (act: OperatorAct['act'], when: Moment): string => {
  try {
    lineFor(act, when)
  } catch (error) {
    if (error instanceof Refused) return error.message
    throw error
  }
  return 'not refused'
}

describe('the pedal does what the moment calls for', () => {
  test.each([
    ['no-datum', null, 'datum'],
    ['seated', null, 'datum'],
    ['bending', null, null],
    ['held', null, null],
    ['letting-off', null, null],
    ['settled', result(null), 'accept'],
    ['settled', result(93), 'again'],
    ['settled', null, 'accept'],
  ] as const)('in phase %s', (phase, before, act) => {
    expect(pedalAct(moment({ phase, result: before }))).toBe(act)
  })

  test('pressed under load it changes nothing and is no error', () => {
    for (const phase of ['bending', 'held', 'letting-off'] as const)
      expect(lineFor('pedal', moment({ phase }))).toBeNull()
  })
})

describe('datum', () => {
  test('is taken between bends and after one has settled', () => {
    for (const phase of ['no-datum', 'seated', 'settled'] as const)
      expect(lineFor('datum', moment({ phase }))).toEqual({ act: 'datum' })
  })
  test('is refused under load: it would hide what was bent', () => {
    for (const phase of ['bending', 'held', 'letting-off'] as const)
      expect(refusal('datum', moment({ phase }))).toMatch(/under load/)
  })
  test('is refused without set-up, without job and without degrees', () => {
    expect(refusal('datum', moment({ hasSetup: false }))).toMatch(/set-up/)
    expect(refusal('datum', moment({ hasJob: false }))).toMatch(/what to bend/)
    expect(refusal('datum', moment({ hasSignal: false }))).toMatch(/No degrees/)
  })
})

describe('accept', () => {
  test('closes what has settled', () => {
    expect(lineFor('accept', moment({ phase: 'settled' }))).toEqual({
      act: 'close',
      reason: 'accepted',
    })
  })
  test('is refused before the tube is let off, and without a bend', () => {
    for (const phase of ['bending', 'held', 'letting-off'] as const)
      expect(refusal('accept', moment({ phase }))).toMatch(/Let the tube off/)
    for (const phase of ['no-datum', 'seated'] as const)
      expect(refusal('accept', moment({ phase }))).toMatch(/no bend to accept/)
  })
})

describe('again', () => {
  test('needs a bend that stands under', () => {
    expect(lineFor('again', moment({ phase: 'settled', result: result(93) }))).toBeNull()
    expect(refusal('again', moment({ phase: 'settled', result: result(null) }))).toMatch(/nothing/)
    expect(refusal('again', moment({ phase: 'bending', result: result(93) }))).toMatch(/nothing/)
  })
})

describe('abandon', () => {
  test('closes a bend at any moment of it', () => {
    for (const phase of PHASES.filter((name) => name !== 'no-datum'))
      expect(lineFor('abandon', moment({ phase }))).toEqual({ act: 'close', reason: 'abandoned' })
    expect(refusal('abandon', moment())).toMatch(/no bend/)
  })
})

test('every refusal is one sentence', () => {
  for (const phase of PHASES)
    for (const act of ['datum', 'accept', 'again', 'abandon', 'pedal'] as const)
      expect(`${refusal(act, moment({ phase, hasJob: false }))}.`).toMatch(/^[A-Z].*\.{1,2}$|^not/)
})

describe('an arm that has left the tube', () => {
  const hidden: Result = {
    ...result(null),
    verdict: 'incomplete',
    go: { ...result(null).go, releasedDeg: null, releasedSeDeg: null, releasedFrom: 'unknown' },
  }
  const settled = (more: Partial<Moment> = {}) =>
    moment({ phase: 'settled', result: hidden, ...more })

  test('can touch it again, or its angle can be checked', () => {
    expect(lineFor('touch', settled())).toEqual({ act: 'touch' })
    expect(lineFor('check', settled({ checkedDeg: 89.5 }))).toEqual({
      act: 'checked',
      checkedDeg: 89.5,
    })
    expect(pedalAct(settled())).toBe('accept')
  })

  test('a die can be checked, but need not be touched', () => {
    const seen = settled({ result: result(null), checkedDeg: 88.9 })
    expect(lineFor('check', seen)).toEqual({ act: 'checked', checkedDeg: 88.9 })
    expect(refusal('touch', seen)).toBe(
      'Where the tube stands is known already: there is no need to touch it.',
    )
  })

  test.each(PHASES.filter((phase) => phase !== 'settled'))('not in phase %s', (phase) => {
    expect(refusal('touch', moment({ phase }))).toContain('bend it and let it off first')
    expect(refusal('check', moment({ phase, checkedDeg: 30 }))).toContain('There is no bend')
  })

  test.each([
    [undefined, 'checkedDeg is missing.'],
    [92, 'A tube taken to 92.0° does not stand at 92°: look at the angle finder again.'],
    [46, 'A tube taken to 92.0° does not stand at 46°: look at the angle finder again.'],
    [-3, 'A tube taken to 92.0° does not stand at -3°: look at the angle finder again.'],
    [Number.NaN, 'A tube taken to 92.0° does not stand at NaN°: look at the angle finder again.'],
  ])('a checked angle of %s is refused', (checkedDeg, sentence) => {
    expect(refusal('check', settled({ checkedDeg }))).toBe(sentence)
  })

  test('a touch that told nothing is refused, all else is not', () => {
    expect(() => confirm('touch', hidden)).toThrow('No tube stands where the arm is')
    expect(() => confirm('touch', result(null))).not.toThrow()
    expect(() => confirm('accept', hidden)).not.toThrow()
    expect(() => confirm('touch', null)).not.toThrow()
  })
})
