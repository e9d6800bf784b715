import { expect, test } from 'vitest'
import { asFoundDeg } from '../../../../server/quality/as-found.ts'

const at = (readoutDeg: number, knownDeg: number) => ({ readoutDeg, knownDeg })
const LINE = { scale: 1, offsetDeg: 0, harmonics: [] }

test('a readout that still fits was not off', () => {
  expect(asFoundDeg([at(10, 0), at(55, 45), at(100, 90)], LINE)).toBeCloseTo(0, 9)
})

test('a scale that drifted shows as it put bends off: a datum takes off what it is off there, no more', () => {
  expect(asFoundDeg([at(0, 0), at(91, 90)], LINE)).toBeCloseTo(1, 9)
  expect(asFoundDeg([at(0, 0), at(45, 45), at(91.5, 90)], LINE)).toBeCloseTo(1.5, 9)
  // One per cent low, wherever the points lie.
  const low = (knownDeg: number) => at(0.99 * knownDeg, knownDeg)
  expect(asFoundDeg([0, 30, 60, 90].map(low), LINE)).toBeCloseTo(-0.9, 9)
  expect(asFoundDeg([90, 80, 70, 0].map(low), LINE)).toBeCloseTo(-0.9, 9)
})

test('the errors of a turn are those that were in force', () => {
  const once = { ...LINE, harmonics: [{ cosDeg: 0.3, sinDeg: 0.4 }] }
  const points = [0, 40, 80, 120].map((readoutDeg) => {
    const turn = (readoutDeg * Math.PI) / 180
    return at(readoutDeg, readoutDeg + 0.3 * Math.cos(turn) + 0.4 * Math.sin(turn))
  })
  expect(asFoundDeg(points, once)).toBeCloseTo(0, 9)
  expect(Math.abs(asFoundDeg(points, LINE) ?? 0)).toBeGreaterThan(0.15)
})

test('one point tells nothing', () => {
  expect(asFoundDeg([at(0, 0)], LINE)).toBeNull()
})
