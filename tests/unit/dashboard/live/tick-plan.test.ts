import { describe, expect, test } from 'vitest'
import { soundFor } from '../../../../dashboard/live/tick-plan.ts'
import { CUES, PHASES } from '../../../../server/messages/live.ts'

const paceAt = (toGoDeg: number) => {
  const sound = soundFor('bending', 'ease', toGoDeg)
  return sound.kind === 'ticks' ? sound.everyS : null
}

describe('the sound', () => {
  test('is quiet far from the stop', () => {
    expect(soundFor('bending', 'bend', 40)).toEqual({ kind: 'quiet' })
    expect(soundFor('bending', 'bend', Number.POSITIVE_INFINITY)).toEqual({ kind: 'quiet' })
  })

  test('ticks quicken all the way to the stop', () => {
    const paces = [14, 10, 6, 3, 1, 0.2, 0].map(paceAt)
    expect(paces.every((pace) => pace !== null)).toBe(true)
    expect(paces).toEqual([...paces].sort((a, b) => (b ?? 0) - (a ?? 0)))
    expect(new Set(paces).size).toBe(paces.length)
  })

  test('never ticks faster than an ear can count as ticks, nor slower than 2 a second', () => {
    for (const toGoDeg of [14.9, 7, 0, -3]) {
      expect(paceAt(toGoDeg)).toBeGreaterThanOrEqual(0.05)
      expect(paceAt(toGoDeg)).toBeLessThanOrEqual(0.5)
    }
  })

  test('is steady at the stop and falls past it', () => {
    expect(soundFor('bending', 'stop', 0.1)).toEqual({ kind: 'steady' })
    expect(soundFor('bending', 'over', -1)).toEqual({ kind: 'falling' })
  })

  test('is quiet when what is left is unknown', () => {
    expect(soundFor('bending', 'bend', Number.NaN)).toEqual({ kind: 'quiet' })
  })

  test('is heard only while the tube is being bent', () => {
    for (const phase of PHASES.filter((name) => name !== 'bending'))
      for (const cue of CUES) expect(soundFor(phase, cue, 0)).toEqual({ kind: 'quiet' })
  })
})
