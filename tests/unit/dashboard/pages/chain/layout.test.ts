import { describe, expect, test } from 'vitest'
import { graphOf, type Placed, place, sizeOf } from '../../../../../dashboard/pages/chain/layout.ts'
import { catalogue } from '../../../../../server/blocks/index.ts'
import { dieEncoderChain } from '../../../../../server/blocks/shipped/die-encoder.ts'
import { checkChain } from '../../../../../server/chain/check.ts'
import { chainViewOf } from '../../../../../server/station/chain-view.ts'

const { blocks } = chainViewOf(checkChain(dieEncoderChain, catalogue))
const ASPECT = 2.4

const overlaps = (one: Placed['blocks'][number], other: Placed['blocks'][number]) =>
  one.x < other.x + other.widthPx &&
  other.x < one.x + one.widthPx &&
  one.y < other.y + other.heightPx &&
  other.y < one.y + one.heightPx

describe('the shipped chain on the sheet', async () => {
  const placed = await place(blocks, ASPECT)

  test('has every block once, on the sheet, none over another', () => {
    expect(placed.blocks.map(({ block }) => block.id)).toEqual(blocks.map(({ id }) => id))
    for (const one of placed.blocks) {
      expect(Math.min(one.x, one.y)).toBeGreaterThanOrEqual(0)
      expect(one.x + one.widthPx).toBeLessThanOrEqual(placed.widthPx)
      expect(one.y + one.heightPx).toBeLessThanOrEqual(placed.heightPx)
      expect(placed.blocks.filter((other) => other !== one && overlaps(one, other))).toEqual([])
    }
  })

  test('has a line for each connection, from the output to the input, at right angles', () => {
    expect(placed.lines).toHaveLength(dieEncoderChain.connections.length)
    const ends = new Map<string, { x: number; y: number }>(
      placed.blocks.flatMap(({ block, inputs, outputs }) => [
        ...inputs.map(({ name, x, y }) => [`in ${block.id}.${name}`, { x, y }] as const),
        ...outputs.map(({ name, x, y }) => [`out ${block.id}.${name}`, { x, y }] as const),
      ]),
    )
    for (const { from, to, points } of placed.lines) {
      expect(points[0]).toEqual(ends.get(`out ${from}`))
      expect(points.at(-1)).toEqual(ends.get(`in ${to}`))
      points.slice(1).forEach(({ x, y }, place) => {
        const before = points[place]
        expect(before?.x === x || before?.y === y).toBe(true)
      })
    }
  })

  test('is folded to the sheet: about as wide for its height as was asked', () => {
    expect(placed.widthPx / placed.heightPx).toBeGreaterThan(ASPECT / 2)
    expect(placed.widthPx / placed.heightPx).toBeLessThan(ASPECT * 2)
  })

  test('tells events from values', () => {
    const kindOf = (from: string) => placed.lines.find((line) => line.from === from)?.isItem
    expect(kindOf('datum.angle')).toBe(false)
    expect(kindOf('bend-watch.events')).toBe(true)
  })
})

test('a block is as wide as its longest names and what goes over its outputs', () => {
  const [link, decode] = ['link', 'decode'].map((id) => blocks.find((block) => block.id === id))
  if (!link || !decode) throw new Error('The shipped chain has no such blocks.')
  expect(sizeOf(decode).widthPx).toBeGreaterThan(sizeOf(link).widthPx)
  expect(sizeOf(decode).heightPx).toBeGreaterThan(sizeOf(link).heightPx)
})

test('an input that is not connected has a place and no line', () => {
  const { children = [], edges = [] } = graphOf(blocks, ASPECT)
  const ports = children.find(({ id }) => id === 'datum')?.ports ?? []
  expect(ports.map(({ id }) => id)).toContain('in datum.here')
  expect(edges.some(({ targets }) => targets.includes('in datum.here'))).toBe(false)
})
