import { describe, expect, test } from 'vitest'
import { windowOf } from '../../../../dashboard/widgets/trace-window.ts'

/** One point a second: flat for so long, then a bend of 4° a second for 10 s. */
function bendAfter(idleS: number, flatDeg = 0) {
  const tS = Array.from({ length: idleS + 11 }, (_, i) => i)
  return { tS, angleDeg: tS.map((timeS) => flatDeg + 4 * Math.max(0, timeS - idleS)) }
}

describe('the part of a trace that is shown', () => {
  test('is all of it when the bend began at once', () => {
    const { tS, angleDeg } = bendAfter(1)
    expect(windowOf(tS, angleDeg)).toEqual([0, 11])
  })

  test.each([4, 60, 250])('begins 3 s before a bend that began %d s after the datum', (idleS) => {
    const { tS, angleDeg } = bendAfter(idleS)
    expect(windowOf(tS, angleDeg)).toEqual([idleS + 1 - 3, idleS + 10])
  })

  test('does not take a hand on the tube for the bend', () => {
    const { tS, angleDeg } = bendAfter(60, 0.8)
    expect(windowOf(tS, angleDeg)[0]).toBe(58)
  })

  test('is the last seconds while no bend has begun, and never less than 10 s', () => {
    const tS = Array.from({ length: 101 }, (_, i) => i)
    const flat = tS.map(() => 0.1)
    expect(windowOf(tS, flat)).toEqual([97, 107])
    expect(windowOf(tS.slice(0, 2), flat)).toEqual([0, 10])
  })

  test('keeps a second go beside the first', () => {
    const { tS, angleDeg } = bendAfter(20)
    const [again, later] = [angleDeg.map((deg) => deg / 2 + 20), tS.map((timeS) => timeS + 31)]
    expect(windowOf([...tS, ...later], [...angleDeg, ...again])).toEqual([18, 61])
  })

  test('begins where a trace begins that was kept from later on', () => {
    expect(windowOf([40, 41, 42], [30, 31, 32])).toEqual([40, 50])
  })

  test('of nothing is the first 10 s', () => {
    expect(windowOf([], [])).toEqual([0, 10])
    expect(windowOf(new Float64Array(0), new Float64Array(0))).toEqual([0, 10])
  })

  test('steps over what a chart has no value for', () => {
    expect(windowOf([0, 10, 20], [null, undefined, 5])).toEqual([17, 27])
  })
})
