import { describe, expect, test } from 'vitest'
import { tilt } from '../../../../server/blocks/tilt.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock, type Row } from './one-block.ts'

const PER_G = 16_384
const rad = (deg: number) => (deg * Math.PI) / 180

/** What a sensor whose plane is that of the swing shows at a tilt, in counts; `sizeG` when it is shaken. */
function row(tiltDeg: number, { leanDeg = 0, sizeG = 1, perG = PER_G } = {}): Row {
  const planeG = sizeG * Math.cos(rad(leanDeg))
  return {
    x: planeG * Math.sin(rad(tiltDeg)) * perG,
    y: sizeG * Math.sin(rad(leanDeg)) * perG,
    z: planeG * Math.cos(rad(tiltDeg)) * perG,
    countsPerG: perG,
  }
}
const one = (given: Row, parameters = {}) => oneBlock(tilt, parameters).feed([given])[0]

describe('the tilt', () => {
  test.each([-179, -90, -30, 0, 0.001, 45, 90, 135, 179.5])('of %d°', (deg) => {
    expect(one(row(deg))).toMatchObject({ value: expect.closeTo(deg, 9), quality: GOOD })
  })

  test.each([
    [{ direction: -1 }, -30],
    [{ sine: '-x' }, -30],
    [{ cosine: '-z' }, 150],
    [{ sine: '-x', cosine: '-z' }, -150],
    [{ sine: '+z', cosine: '+x' }, 60],
  ])('with %j', (parameters, deg) => {
    expect(one(row(30), parameters)?.value).toBeCloseTo(deg, 9)
  })

  test('goes on over 180° and over a whole turn, both ways', () => {
    const turn = Array.from({ length: 80 }, (_, nth) => nth * 10)
    const there = oneBlock(tilt).feed(turn.map((deg) => row(deg)))
    there.forEach(({ value }, nth) => {
      expect(value).toBeCloseTo(nth * 10, 6)
    })
    const back = oneBlock(tilt).feed(turn.map((deg) => row(-deg)))
    expect(back.at(-1)?.value).toBeCloseTo(-790, 6)
  })

  test('takes the counts of one g from the set-up before those of the board', () => {
    const given = { ...row(30, { perG: 1000 }), countsPerG: 4096 }
    expect(one(given, { countsPerG: 1000 })).toMatchObject({
      value: expect.closeTo(30, 9),
      quality: GOOD,
    })
    expect(one(given)?.quality).toBe(BAD)
  })
})

test('offset and gain of each axis are taken out', () => {
  const worn = (deg: number) => {
    const { x, z } = row(deg, { perG: 1 }) as { x: number; z: number }
    return {
      x: (x * 1.02 + 0.03) * PER_G,
      y: -0.05 * PER_G,
      z: (z * 0.97 - 0.02) * PER_G,
      countsPerG: PER_G,
    }
  }
  const known = { xOffsetG: 0.03, xUnitG: 1.02, yOffsetG: -0.05, zOffsetG: -0.02, zUnitG: 0.97 }
  for (const deg of [-60, 0, 33, 90, 120])
    expect(one(worn(deg), known)).toMatchObject({ value: expect.closeTo(deg, 9), quality: GOOD })
  expect(Math.abs((one(worn(33))?.value ?? 0) - 33)).toBeGreaterThan(1)
})

describe('quality', () => {
  test.each([
    [4.9, GOOD],
    [5.1, UNCERTAIN],
    [-5.1, UNCERTAIN],
    [59.9, UNCERTAIN],
    [60.1, BAD],
    [90, BAD],
    [-90, BAD],
  ])('with the plane leaning by %d° is %i', (leanDeg, quality) => {
    expect(one(row(20, { leanDeg }))?.quality).toBe(quality)
  })

  test.each([
    [1.04, GOOD],
    [0.96, GOOD],
    [1.06, UNCERTAIN],
    [0.9, UNCERTAIN],
    [1.51, BAD],
    [0.49, BAD],
    [0, BAD],
  ])('with a pull of %d g is %i', (sizeG, quality) => {
    expect(one(row(20, { sizeG }))?.quality).toBe(quality)
  })

  test.each(['x', 'y', 'z'])('is never raised: axis %s', (axis) => {
    const given = row(20)
    const flawedRow = (quality: number) => ({
      ...given,
      [axis]: flawed(given[axis] as number, quality),
    })
    expect(one(flawedRow(UNCERTAIN))?.quality).toBe(UNCERTAIN)
    expect(one(flawedRow(BAD))?.quality).toBe(BAD)
    expect(one({ ...given, [axis]: nothing })?.quality).toBe(NONE)
  })

  test('is bad as long as nobody says what a g is', () => {
    const { countsPerG: _, ...given } = row(20)
    expect(one(given)).toMatchObject({ value: 0, quality: BAD })
  })

  test('bad rows leave the last tilt, and do not lead it astray', () => {
    const blow = row(170, { sizeG: 2 })
    const rows = oneBlock(tilt).feed([row(-170), blow, row(-175)])
    expect(rows.map(({ value }) => Math.round(value))).toEqual([-170, -170, -175])
    expect(rows.map(({ quality }) => quality)).toEqual([GOOD, BAD, GOOD])
  })
})

describe('another board', () => {
  const hello = (board: string) => ({ ...row(10), device: { kind: 'hello', board } })
  test('has another zero; the same one after a reset has not', () => {
    const rows = oneBlock(tilt).feed([hello('A'), row(10), hello('A'), hello('B'), hello('B')])
    expect(rows.map(({ all }) => all['lost'] ?? null)).toEqual([
      null,
      null,
      null,
      { reason: 'another board' },
      null,
    ])
  })
})

test.each([
  ['+x', '-x'],
  ['+y', '+y'],
] as const)('refuses %s and %s: they are one axis', (sine, cosine) => {
  expect(() => oneBlock(tilt, { sine, cosine })).toThrow(
    `sine and cosine must be two axes, not ${sine} and ${cosine}.`,
  )
})
