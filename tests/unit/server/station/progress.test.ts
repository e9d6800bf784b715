import { describe, expect, test } from 'vitest'
import type { CycleEvent } from '../../../../server/bend/cycle-event.ts'
import { AT_REST, afterCueEvent, afterCycleEvent } from '../../../../server/station/progress.ts'

const at = { timeS: 1 }
const settled = {
  ...at,
  kind: 'settled',
  strokes: 1,
  peakDeg: 92,
  peakAtS: 1,
  releasedDeg: 90,
  releasedAtS: 2,
  releasedSeDeg: 0.01,
} as const
const follow = (...events: CycleEvent[]) => events.reduce(afterCycleEvent, AT_REST)

describe('where in the bend we are', () => {
  test('a bend from datum to close', () => {
    const events: CycleEvent[] = [
      { ...at, kind: 'datum', readoutDeg: 3 },
      { ...at, kind: 'bending', stroke: 1, go: 1 },
      { ...at, kind: 'held', angleDeg: 92 },
      { ...at, kind: 'letting-off', peakDeg: 92, peakAtS: 1 },
      { ...settled, go: 1 },
    ]
    const phases = events.map((_, index) => follow(...events.slice(0, index + 1)).phase)
    expect(phases).toEqual(['seated', 'bending', 'held', 'letting-off', 'settled'])
    expect(follow(...events).peakDeg).toBe(92)
    expect(follow(...events, { ...at, kind: 'closed', reason: 'accepted' })).toEqual(AT_REST)
  })

  test('a second go forgets the peak of the first; a next stroke keeps it', () => {
    const first: CycleEvent[] = [
      { ...at, kind: 'datum', readoutDeg: 0 },
      { ...at, kind: 'bending', stroke: 1, go: 1 },
      { ...settled, go: 1 },
    ]
    expect(follow(...first, { ...at, kind: 'bending', stroke: 2, go: 1 }).peakDeg).toBe(92)
    const second = follow(...first, { ...at, kind: 'bending', stroke: 1, go: 2 })
    expect(second).toMatchObject({ goNumber: 2, peakDeg: null, phase: 'bending' })
  })

  test('a false start goes back to where it began', () => {
    const begun: CycleEvent[] = [
      { ...at, kind: 'datum', readoutDeg: 0 },
      { ...at, kind: 'bending', stroke: 1, go: 1 },
    ]
    expect(follow(...begun, { ...at, kind: 'false-start' }).phase).toBe('seated')
    const again = follow(
      ...begun,
      { ...settled, go: 1 },
      { ...at, kind: 'bending', stroke: 1, go: 2 },
      { ...at, kind: 'false-start' },
    )
    expect(again).toMatchObject({ phase: 'settled', goNumber: 1 })
  })

  test('tube taken out: the plateau before it stands until the bend is closed', () => {
    const progress = follow({ ...settled, go: 1 }, { ...at, kind: 'taken-out' })
    expect(progress.phase).toBe('settled')
  })

  test('the cue is followed apart from the phase', () => {
    const cue = { timeS: 1, cue: 'ease', angleDeg: 80, rateDegPerS: 9 } as const
    expect(afterCueEvent(AT_REST, cue)).toEqual({ ...AT_REST, cue: 'ease' })
  })
})
