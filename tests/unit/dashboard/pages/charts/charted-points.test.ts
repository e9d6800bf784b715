import { describe, expect, test } from 'vitest'
import {
  type ErrorChart,
  pointsOf,
  rangesOf,
} from '../../../../../dashboard/pages/charts/charted-points.ts'

type Point = ErrorChart['points'][number]

const NOON_MS = Date.UTC(2026, 0, 5, 12)
const HOUR_MS = 3_600_000

/** The `id`th bend, 20 s after the one before; from the fourth on the clock shows an hour less. */
const bend = (id: number, changes: Partial<Point> = {}): Point => ({
  ...{ id, startedMs: NOON_MS + id * 20_000 - (id >= 4 ? HOUR_MS : 0), offDeg: id / 100 },
  ...{ toleranceDeg: 0.5, rangeDeg: id === 1 ? null : 0.01, broken: [], changed: [] },
  ...changes,
})

const chartOf = (...points: Point[]) => ({ points }) as ErrorChart
const NONE_VOID = { count: 0, points: [] }
const placesOf = (points: readonly { readonly id: number; readonly place: number }[]) =>
  points.map(({ id, place }) => [id, place])

describe('bends on a chart', () => {
  test('keep the order in which they were recorded where the clock was set back', () => {
    const error = chartOf(...[1, 2, 3, 4, 5].map((id) => bend(id)))
    const drawn = pointsOf(error, NONE_VOID)
    expect(placesOf(drawn)).toEqual([1, 2, 3, 4, 5].map((id) => [id, id]))
    const steps = rangesOf(error, drawn).map(({ place }) => place)
    expect(steps).toEqual([2, 3, 4, 5])
  })

  test('have those that are void among them, which break no rule and have no step', () => {
    const error = chartOf(bend(1), bend(3, { broken: ['beyond', 'range'] }), bend(5))
    const apart = [4, 2].map((id) => ({ id, startedMs: bend(id).startedMs, offDeg: 9 }))
    const drawn = pointsOf(error, { count: 2, points: apart })
    expect(placesOf(drawn)).toEqual([1, 2, 3, 4, 5].map((id) => [id, id]))
    expect(drawn.flatMap(({ id, isVoid }) => (isVoid ? [id] : []))).toEqual([2, 4])
    expect(drawn.flatMap(({ id, isBroken }) => (isBroken ? [id] : []))).toEqual([3])
    const steps = rangesOf(error, drawn)
    expect(placesOf(steps)).toEqual([
      [3, 3],
      [5, 5],
    ])
    expect(steps.map(({ isBroken }) => isBroken)).toEqual([true, false])
  })

  test('that have no step for a change leave it to the next one to tell', () => {
    const error = chartOf(bend(1), bend(2, { rangeDeg: null, changed: ['lot'] }), bend(3))
    const steps = rangesOf(error, pointsOf(error, NONE_VOID))
    expect(steps.map(({ id, changed }) => [id, changed])).toEqual([[3, ['lot']]])
  })
})
