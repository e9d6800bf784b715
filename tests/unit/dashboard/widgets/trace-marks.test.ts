import { describe, expect, test } from 'vitest'
import { liveMarks, marksOfGoes } from '../../../../dashboard/widgets/trace-marks.ts'
import type { Go } from '../../../../server/messages/bends.ts'
import type { Result } from '../../../../server/messages/live.ts'
import { SHOP_JOB } from '../../../support/fake-bend.ts'
import { makeFakeStation } from '../../../support/fake-station.ts'

const go: Go = {
  commandedDeg: 40,
  cueDeg: 39,
  cueRateDegPerS: 2,
  peakDeg: 40.1,
  peakAtS: 8,
  releasedDeg: 37.8,
  releasedSeDeg: 0.01,
  releasedAtS: 10,
  strokes: 1,
}
const result: Result = {
  bendId: 3,
  go,
  verdict: 'in',
  errorDeg: -0.2,
  expandedUncertaintyDeg: 0.1,
  againDeg: null,
  goingAgain: false,
  learnedWhy: null,
}
const state = makeFakeStation().state()

describe('the marks of a trace', () => {
  test('are where the go peaked and where it came to rest', () => {
    expect(marksOfGoes([go])).toEqual([
      {
        cue: null,
        peak: { atS: 8, deg: 40.1 },
        released: { atS: 10, deg: 37.8 },
        plateau: null,
      },
    ])
  })

  test('are none before there is a go, and no rest before there is one', () => {
    expect(marksOfGoes([])).toEqual([])
    for (const none of [{ releasedDeg: null }, { releasedAtS: null }])
      expect(marksOfGoes([{ ...go, ...none }])[0]?.released).toBeNull()
  })

  test('on a trace are each go’s, with where its stop was called and how long it stood', () => {
    const second = { cueDeg: 41, peakDeg: 42, peakAtS: 15, releasedDeg: 39, releasedAtS: 17 }
    const points = {
      tS: [0, 4, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18],
      angleDeg: [0, 30, 38, 39, 40.1, 38, 37.8, 37.9, 37.7, 39, 41, 42, 40, 39, 39.1],
    }
    const [one, two] = marksOfGoes([go, { ...go, ...second }], points)
    expect(one?.cue).toEqual({ atS: 7, deg: 39 })
    expect(one?.plateau).toEqual({ fromS: 10, toS: 12, deg: 37.8 })
    expect(two?.cue).toEqual({ atS: 14, deg: 41 })
    expect(two?.plateau).toEqual({ fromS: 17, toS: 18, deg: 39 })
  })

  test('leave out a call that the trace does not show, and a go without one', () => {
    const points = { tS: [0, 4, 8, 9, 10], angleDeg: [0, 30, 38, 38, 37.8] }
    expect(marksOfGoes([go], points)[0]?.cue).toBeNull()
    expect(marksOfGoes([{ ...go, cueDeg: null }], points)[0]?.cue).toBeNull()
    expect(marksOfGoes([go], { tS: [0], angleDeg: [0] })[0]?.plateau).toBeNull()
  })

  test('in a bend show the target of this bend', () => {
    const marks = liveMarks({ ...state, phase: 'bending', result: null }, 92.2)
    expect(marks).toMatchObject({ wantedDeg: SHOP_JOB.wantedDeg, commandedDeg: 92.2, goes: [] })
  })

  test('until the next datum show the target the trace was bent to, not the next one', () => {
    const marks = liveMarks({ ...state, phase: 'no-datum', result }, 92.2)
    expect(marks.wantedDeg).toBeCloseTo(38, 9)
    expect(marks.commandedDeg).toBe(40)
  })

  test('with nothing to be bent draw no target of their own', () => {
    const marks = liveMarks({ ...state, job: null, result: null }, null)
    expect(marks).toMatchObject({ wantedDeg: 0, toleranceDeg: 0, commandedDeg: null })
  })
})
