import { describe, expect, test } from 'vitest'
import { allows, nextAct, PRESSED_ACTS } from '../../../../dashboard/live/allowed-acts.ts'
import { PHASES, type Result } from '../../../../server/messages/live.ts'

const result = (againDeg: number | null) => ({ againDeg }) as Result

describe('what may be pressed', () => {
  test.each([
    ['datum', ['no-datum', 'seated']],
    ['accept', ['settled']],
    ['again', ['settled']],
    ['abandon', ['seated', 'bending', 'held', 'letting-off', 'settled']],
  ] as const)('%s in %j', (act, phases) => {
    expect(PHASES.filter((phase) => allows(act, phase, true))).toEqual(phases)
  })

  test('not again, when there is nothing to gain', () => {
    expect(PHASES.filter((phase) => allows('again', phase, false))).toEqual([])
  })

  test('nothing but abandoning while the tube is under load', () => {
    for (const phase of ['bending', 'held', 'letting-off'] as const)
      expect(PRESSED_ACTS.filter((act) => allows(act, phase, true))).toEqual([])
  })
})

describe('what the pedal would do', () => {
  test('datum first, then the verdict decides', () => {
    expect(nextAct({ phase: 'no-datum', result: null })).toBe('datum')
    expect(nextAct({ phase: 'settled', result: result(null) })).toBe('accept')
    expect(nextAct({ phase: 'settled', result: result(93) })).toBe('again')
  })

  test('nothing under load, nor before the outcome is known', () => {
    expect(nextAct({ phase: 'bending', result: null })).toBeNull()
    expect(nextAct({ phase: 'settled', result: null })).toBeNull()
  })

  test('nothing when going again was said: bending is next', () => {
    const said = { ...result(93), goingAgain: true }
    expect(nextAct({ phase: 'settled', result: said })).toBeNull()
  })
})
