import { describe, expect, test } from 'vitest'
import { type Point, sideShape } from '../../../../../dashboard/pages/sensor/side-geometry.ts'
import { SIDES } from '../../../../../dashboard/pages/sensor/six-sides.ts'

const wayOf = (side: (typeof SIDES)[number], name: string) => {
  const way = sideShape(side).arrows.find((arrow) => arrow.name === name)!.way
  return [way[1][0] - way[0][0], way[1][1] - way[0][1]] as const
}
const spanOf = (points: readonly Point[], axis: 0 | 1) =>
  Math.max(...points.map((point) => point[axis])) - Math.min(...points.map((point) => point[axis]))
/** Twice the area that a polygon encloses; its sign tells which way round it goes. */
const turned = (points: readonly Point[]) =>
  points.reduce((sum, [x, y], i) => {
    const [nextX, nextY] = points[(i + 1) % points.length]!
    return sum + x * nextY - nextX * y
  }, 0)

describe('the picture of a side', () => {
  test.each(['x', 'y'])('the arrow of %s points straight up, and straight down', (name) => {
    for (const [sign, way] of [
      ['+', -1],
      ['-', 1],
    ] as const) {
      const [right, down] = wayOf(`${sign}${name}` as (typeof SIDES)[number], name)
      expect(right).toBeCloseTo(0, 9)
      expect(Math.sign(down)).toBe(way)
    }
  })

  test('the chip looks down on one side only, and both axes lie then', () => {
    expect(SIDES.filter((side) => sideShape(side).isChipBehind)).toEqual(['-z'])
    for (const side of ['+z', '-z'] as const)
      for (const name of ['x', 'y']) expect(Math.abs(wayOf(side, name)[0])).toBeGreaterThan(20)
  })

  test.each(SIDES)('%s is right-handed as it is seen', (side) => {
    // From x to y the way round is against the clock for who sees the chip, with it for who looks from behind.
    const [x, y] = [wayOf(side, 'x'), wayOf(side, 'y')]
    const across = x[0] * y[1] - x[1] * y[0]
    expect(Math.sign(across)).toBe(sideShape(side).isChipBehind ? 1 : -1)
  })

  test.each(SIDES)('%s stands on its plate, whole and within the picture', (side) => {
    const { plate, faces, chip, up, arrows } = sideShape(side)
    for (const face of faces) expect(Math.abs(turned(face))).toBeGreaterThan(500)
    const body = faces.flat()
    expect(spanOf(body, 0)).toBeLessThan(spanOf(plate, 0))
    const points = [...plate, ...body, ...chip, ...up, ...arrows.flatMap(({ way }) => way)]
    for (const [x, y] of points) {
      expect(Math.abs(x)).toBeLessThanOrEqual(112)
      expect(y).toBeGreaterThanOrEqual(-168)
      expect(y).toBeLessThanOrEqual(68)
    }
  })

  test('no two are alike', () => {
    expect(new Set(SIDES.map((side) => JSON.stringify(sideShape(side)))).size).toBe(6)
  })

  test('the arrow up starts above the letters that lie beneath it', () => {
    const { arrows, up } = sideShape('+z')
    // Letters are 22 px high, drawn about their middle.
    for (const { way } of arrows) expect(up[0][1]).toBeLessThan(way[2][1] - 11)
  })
})
