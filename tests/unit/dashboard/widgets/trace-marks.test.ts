import { describe, expect, test } from 'vitest'
import { liveMarks, marksOfGo } from '../../../../dashboard/widgets/trace-marks.ts'
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
    expect(marksOfGo(go)).toEqual({
      peak: { atS: 8, deg: 40.1 },
      released: { atS: 10, deg: 37.8 },
    })
  })

  test('are none before there is a go, and no rest before there is one', () => {
    expect(marksOfGo(undefined)).toEqual({ peak: null, released: null })
    expect(marksOfGo({ ...go, releasedDeg: null }).released).toBeNull()
    expect(marksOfGo({ ...go, releasedAtS: null }).released).toBeNull()
  })

  test('in a bend show the target of this bend', () => {
    const marks = liveMarks({ ...state, phase: 'bending', result: null }, 92.2)
    expect(marks).toMatchObject({ wantedDeg: SHOP_JOB.wantedDeg, commandedDeg: 92.2, peak: null })
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
