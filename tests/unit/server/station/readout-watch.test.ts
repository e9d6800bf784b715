import { describe, expect, test } from 'vitest'
import { BAD, GOOD, UNCERTAIN } from '../../../../server/chain/column.ts'
import { makeReadoutWatch, type StillReading } from '../../../../server/station/readout-watch.ts'

/** `count` samples at `rateHz`, ending at second 10. */
function watch(
  count: number,
  rateHz: number,
  valueAt: (i: number) => number,
  qualityAt: (i: number) => number = () => GOOD,
) {
  const made = makeReadoutWatch()
  const places = Array.from({ length: count }, (_, i) => i)
  made.add(
    places.map((i) => 10 - (count - 1 - i) / rateHz),
    places.map(valueAt),
    places.map(qualityAt),
  )
  return made
}

describe('what stands still', () => {
  test('is read as its mean and standard deviation over the last second', () => {
    const read = watch(400, 200, (i) => (i < 200 ? 55 : 90 + (i % 2 === 0 ? 0.01 : -0.01)))
    const { meanDeg, sdDeg, samples, isGood } = read.read(10) as StillReading
    expect(meanDeg).toBeCloseTo(90, 10)
    expect(sdDeg).toBeCloseTo(0.01, 4)
    expect(samples).toBe(200)
    expect(isGood).toBe(true)
  })

  test.each([5.5, 50, 1000])('at %d readings a second', (rateHz) => {
    expect(watch(3000, rateHz, () => 12).read(10)).toMatchObject({ meanDeg: 12, sdDeg: 0 })
  })

  test('with one uncertain value is not good', () => {
    const read = watch(
      200,
      200,
      () => 12,
      (i) => (i === 150 ? UNCERTAIN : GOOD),
    )
    expect(read.read(10)).toMatchObject({ isGood: false })
  })
})

describe('no reading', () => {
  test.each([
    ['nothing ever came', watch(0, 200, () => 0), 10],
    ['the last one is too old', watch(400, 200, () => 0), 10.6],
    ['it has just begun', watch(100, 200, () => 0), 10],
    ['too few to tell that it stands', watch(8, 3, () => 0), 10],
    [
      'a bad one is among them',
      watch(
        400,
        200,
        () => 0,
        (i) => (i === 300 ? BAD : GOOD),
      ),
      10,
    ],
    ['the clock is no number', watch(400, 200, () => 0), Number.NaN],
  ])('%s', (_, made, nowS) => {
    expect(made.read(nowS)).toBe('no-signal')
  })

  test('after another chain began', () => {
    const made = watch(400, 200, () => 0)
    made.clear()
    expect(made.read(10)).toBe('no-signal')
  })

  test.each([
    ['it turns slowly', (i: number) => i * 0.002],
    ['it shakes', (i: number) => (i % 2 === 0 ? 0.5 : -0.5)],
    ['it moved within the second', (i: number) => (i < 330 ? 0 : 0.5)],
    ['it is no number', () => Number.NaN],
  ])('%s: not still', (_, valueAt) => {
    expect(watch(400, 200, valueAt).read(10)).toBe('not-still')
  })
})

test('holds a bounded number of samples, the newest', () => {
  const made = makeReadoutWatch()
  for (let n = 0; n < 100_000; n++) made.add([n / 1000], [n < 99_000 ? 7 : 8], [GOOD])
  expect(made.read(99.999)).toMatchObject({ meanDeg: 8 })
})
