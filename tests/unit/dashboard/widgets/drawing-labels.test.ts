import { describe, expect, test } from 'vitest'
import {
  boxOf,
  dimensionLettering,
  letteringBoxes,
  stopLettering,
  wantedLettering,
} from '../../../../dashboard/widgets/drawing-labels.ts'
import {
  type Box,
  layOut,
  onLeg,
  type Shape,
  sweepOf,
} from '../../../../dashboard/widgets/tube-geometry.ts'

const RAIL = { clrMm: 114.3, odMm: 38.1 }
const BENDS_DEG = [20, 38, 45, 62, 90, 120, 135, 150, 170]
/** The drawing's cell on a phone of 390 pixels, on a tablet and on the wall, with the text each has there. */
const CELLS = [
  { name: 'phone', widthPx: 358, heightPx: 287, textPx: 14.9 },
  { name: 'tablet', widthPx: 478, heightPx: 370, textPx: 19.9 },
  { name: 'wall', widthPx: 880, heightPx: 560, textPx: 34 },
]
const PAD_PX = 6

const target = (wantedDeg: number, textPx: number) => ({
  wantedDeg,
  commandedDeg: wantedDeg + 2.4,
  textPx,
})

function drawn(wantedDeg: number, cell: (typeof CELLS)[number]) {
  const aim = target(wantedDeg, cell.textPx)
  const largestDeg = Math.max(60, aim.commandedDeg) + 6
  const layout = layOut(RAIL, largestDeg, cell, PAD_PX, (shape) => letteringBoxes(shape, aim))
  return { ...layout, aim }
}

const overlap = (a: Box, b: Box) =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom

const CASES = CELLS.flatMap((cell) => BENDS_DEG.map((wantedDeg) => ({ ...cell, cell, wantedDeg })))

describe('what is lettered on the drawing', () => {
  test.each(CASES)('is whole on a $name for $wantedDeg°', ({ cell, wantedDeg }) => {
    const { shape, centre, aim } = drawn(wantedDeg, cell)
    for (const box of letteringBoxes(shape, aim)) {
      expect(centre.x + box.left).toBeGreaterThanOrEqual(0)
      expect(centre.x + box.right).toBeLessThanOrEqual(cell.widthPx)
      expect(centre.y + box.top).toBeGreaterThanOrEqual(0)
      expect(centre.y + box.bottom).toBeLessThanOrEqual(cell.heightPx)
    }
  })

  test.each(CASES)('keeps apart on a $name for $wantedDeg°', ({ cell, wantedDeg }) => {
    const { shape, aim } = drawn(wantedDeg, cell)
    const { commandedDeg, textPx } = aim
    const stop = boxOf(stopLettering(shape, commandedDeg, textPx))
    const wanted = boxOf(wantedLettering(shape, aim))
    const span = { fromDeg: commandedDeg, toDeg: commandedDeg + 3, text: 'past 3.0°' }
    const past = boxOf(dimensionLettering(shape, span, commandedDeg, textPx))
    expect(overlap(stop, wanted)).toBe(false)
    expect(overlap(stop, past)).toBe(false)
    expect(overlap(past, wanted)).toBe(false)
  })

  test.each(CASES)(
    'lies off the tube at its stop on a $name for $wantedDeg°',
    ({ cell, wantedDeg }) => {
      const { shape, aim } = drawn(wantedDeg, cell)
      const boxes = [
        boxOf(stopLettering(shape, aim.commandedDeg, aim.textPx)),
        boxOf(wantedLettering(shape, aim)),
      ]
      for (const point of pointsOfLeg(shape, aim.commandedDeg))
        for (const { left, right, top, bottom } of boxes)
          expect(point.x > left && point.x < right && point.y > top && point.y < bottom).toBe(false)
    },
  )

  test('without an angle to stop at is what is wanted alone, at its place', () => {
    const shape = layOut(RAIL, 96, CELLS[2]!, PAD_PX).shape
    const aim = { wantedDeg: 90, commandedDeg: null, textPx: 30 }
    const boxes = letteringBoxes(shape, aim)
    expect(boxes).toHaveLength(1)
    const { at } = wantedLettering(shape, aim)
    const { aheadDeg } = sweepOf(shape)
    expect((Math.atan2(at.x, -at.y) * 180) / Math.PI).toBeCloseTo(90 + aheadDeg, 6)
  })

  test('is in the words and with the decimals of the page', () => {
    const shape = layOut(RAIL, 96, CELLS[2]!, PAD_PX).shape
    expect(stopLettering(shape, 64.44, 30).text).toBe('stop 64.4')
    expect(wantedLettering(shape, target(62, 30)).text).toBe('wanted 62.0°')
  })
})

/** A grid of points over the leg of a tube bent so far, and over the break that it ends in. */
function pointsOfLeg(shape: Shape, angleDeg: number) {
  const shares = [0, 0.25, 0.5, 0.75, 1]
  return [...shares, 1.08].flatMap((along) =>
    shares.map((across) =>
      onLeg(shape.clr + (across - 0.5) * shape.od, along * shape.leg, angleDeg),
    ),
  )
}
