import { describe, expect, test } from 'vitest'
import {
  arcDimension,
  labelAt,
  labelGapDeg,
  tickPath,
} from '../../../../dashboard/widgets/arc-dimension.ts'

const arcs = (line: string) => (line.match(/A/g) ?? []).length

describe('a dimension along an arc', () => {
  test('has its arrows inside where there is room', () => {
    expect(arcs(arcDimension(200, 10, 60, 12).line)).toBe(1)
  })

  test('points at the gap from outside where there is none', () => {
    expect(arcs(arcDimension(200, 59, 60, 12).line)).toBe(2)
  })

  test('is the same whichever way round it is asked for', () => {
    expect(arcDimension(200, 60, 10, 12)).toEqual(arcDimension(200, 10, 60, 12))
  })

  test.each([
    ['nothing left', 200, 60, 60],
    ['no radius', 0, 10, 60],
    ['an angle that is none', 200, Number.NaN, 60],
    ['a radius that is none', Number.NaN, 10, 60],
  ])('is not drawn for %s', (_, radiusPx, fromDeg, toDeg) => {
    expect(arcDimension(radiusPx, fromDeg, toDeg, 12)).toEqual({ line: '', heads: '' })
  })
})

describe('a label beside the arc', () => {
  test.each([
    [90, 'start'],
    [0, 'middle'],
    [180, 'middle'],
    [270, 'end'],
  ])('at %s° is anchored at its %s, away from the drawing', (atDeg, anchor) => {
    expect(labelAt(100, atDeg).anchor).toBe(anchor)
  })

  test('needs more room where labels lie side by side', () => {
    expect(labelGapDeg(200, 180, 20)).toBeGreaterThan(2 * labelGapDeg(200, 90, 20))
  })

  test('needs at least its own height', () => {
    const gapPx = (labelGapDeg(200, 90, 20) * Math.PI * 200) / 180
    expect(gapPx).toBeGreaterThanOrEqual(20)
  })
})

test('a tick crosses the arc by what it was given', () => {
  expect(tickPath(100, 0, 5, 10)).toBe('M0.00 -95.00L0.00 -110.00')
})
