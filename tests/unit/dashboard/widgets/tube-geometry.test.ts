import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  arcPath,
  arrowOnArc,
  boundsOf,
  layOut,
  onLeg,
  polar,
  sweepOf,
  tubePaths,
} from '../../../../dashboard/widgets/tube-geometry.ts'

const shape = { clr: 100, od: 40, arm: 120, leg: 150 }
const bend = fc.double({ min: 0, max: 200, noNaN: true })

const numbersIn = (path: string) => [...path.matchAll(/-?\d+(?:\.\d+)?/g)].map(Number)

describe('the geometry of a tube on its die', () => {
  test('straight up is zero and it runs clockwise, y down', () => {
    expect(polar(10, 0)).toEqual({ x: 0, y: -10 })
    expect(polar(10, 90).x).toBeCloseTo(10)
    expect(polar(10, 180).y).toBeCloseTo(10)
  })

  test('the leg leaves the die along its tangent (seed 1)', () => {
    fc.assert(
      fc.property(bend, (angleDeg) => {
        const foot = polar(100, angleDeg)
        const end = onLeg(100, 50, angleDeg)
        const along = { x: end.x - foot.x, y: end.y - foot.y }
        expect(foot.x * along.x + foot.y * along.y).toBeCloseTo(0, 6)
        expect(Math.hypot(along.x, along.y)).toBeCloseTo(50, 6)
      }),
      { seed: 1 },
    )
  })

  test('the leg turns as one piece with the die: its end stays on one circle (seed 2)', () => {
    const { radius, aheadDeg } = sweepOf(shape)
    fc.assert(
      fc.property(bend, (angleDeg) => {
        const end = onLeg(shape.clr, shape.leg, angleDeg)
        const same = polar(radius, aheadDeg + angleDeg)
        expect(end.x).toBeCloseTo(same.x, 6)
        expect(end.y).toBeCloseTo(same.y, 6)
      }),
      { seed: 2 },
    )
  })

  test('at 90 degrees the leg hangs straight down beside the die', () => {
    const end = onLeg(shape.clr, shape.leg, 90)
    expect(end.x).toBeCloseTo(shape.clr)
    expect(end.y).toBeCloseTo(shape.leg)
  })

  test('both walls are half a diameter from the centreline, all the way round', () => {
    const radii = [...tubePaths(shape, 90).walls.matchAll(/A([\d.]+) /g)].map(([, r]) => Number(r))
    expect(radii).toEqual([120, 80])
    expect(tubePaths(shape, 90).centreline).toContain('A100.00 100.00')
  })

  test('an arc of more than half a turn takes the long way', () => {
    expect(arcPath(10, 0, 170)).toMatch(/ 0 0 1 /)
    expect(arcPath(10, 0, 190)).toMatch(/ 0 1 1 /)
    expect(arcPath(10, 90, 0)).toMatch(/ 0 0 0 /)
  })

  test('no bend draws anything that is not a number (seed 3)', () => {
    fc.assert(
      fc.property(bend, (angleDeg) => {
        for (const path of Object.values(tubePaths(shape, angleDeg)))
          expect(path).not.toMatch(/NaN|Infinity|undefined|e-/)
      }),
      { seed: 3 },
    )
  })

  test('an arrow stands with its tip on the arc and its tail behind', () => {
    const [tipX = 0, tipY = 0, tailX = 0] = numbersIn(arrowOnArc(100, 0, 'clockwise', 10))
    expect([tipX, tipY]).toEqual([0, -100])
    expect(tailX).toBeLessThan(0)
    expect(numbersIn(arrowOnArc(100, 0, 'back', 10))[2]).toBeGreaterThan(0)
  })
})

describe('the layout', () => {
  const cells = fc.record({
    widthPx: fc.integer({ min: 200, max: 2500 }),
    heightPx: fc.integer({ min: 200, max: 1500 }),
  })
  const tubes = fc.record({
    clrMm: fc.double({ min: 20, max: 400, noNaN: true }),
    odMm: fc.double({ min: 6, max: 40, noNaN: true }),
  })

  test('is to scale: diameter over radius is that of the tube (seed 4)', () => {
    fc.assert(
      fc.property(tubes, cells, bend, (tube, cell, maxDeg) => {
        const { shape: drawn } = layOut(tube, maxDeg, cell, 20)
        expect(drawn.od / drawn.clr).toBeCloseTo(tube.odMm / tube.clrMm, 9)
      }),
      { seed: 4 },
    )
  })

  test('keeps the whole swing inside the cell and its margin (seed 5)', () => {
    fc.assert(
      fc.property(tubes, cells, bend, (tube, cell, maxDeg) => {
        const { shape: drawn, centre } = layOut(tube, maxDeg, cell, 20)
        const box = boundsOf(drawn, maxDeg)
        expect(centre.x + box.left).toBeGreaterThanOrEqual(20 - 1e-6)
        expect(centre.x + box.right).toBeLessThanOrEqual(cell.widthPx - 20 + 1e-6)
        expect(centre.y + box.top).toBeGreaterThanOrEqual(20 - 1e-6)
        expect(centre.y + box.bottom).toBeLessThanOrEqual(cell.heightPx - 20 + 1e-6)
      }),
      { seed: 5 },
    )
  })

  test('draws something even in a cell that is not laid out yet', () => {
    const tube = { clrMm: 100, odMm: 25 }
    const { shape: drawn } = layOut(tube, 90, { widthPx: 0, heightPx: 0 }, 20)
    expect(drawn.clr).toBeGreaterThan(0)
  })
})
