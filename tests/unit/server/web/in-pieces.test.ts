import { expect, test } from 'vitest'
import { inPieces } from '../../../../server/web/in-pieces.ts'

async function all(pieces: AsyncIterable<string>): Promise<string[]> {
  const found: string[] = []
  for await (const piece of pieces) found.push(piece)
  return found
}
const stillMs = () => 0
const lines = Array.from({ length: 20_000 }, (_, n) => `bend ${n}\n`)

test('what comes out is what went in, in pieces of a size', async () => {
  const pieces = await all(inPieces(lines, stillMs))
  expect(pieces.join('')).toBe(lines.join(''))
  expect(pieces.length).toBeGreaterThan(2)
  expect(Math.max(...pieces.map(({ length }) => length))).toBeLessThan(66_000)
  expect(await all(inPieces([], stillMs))).toEqual([])
})

test('others get their turn after each piece, and nothing is read ahead of them', async () => {
  let turns = 0
  let isOver = false
  const turn = () => {
    turns += 1
    if (!isOver) setImmediate(turn)
  }
  setImmediate(turn)
  const pieces = await all(inPieces(lines, stillMs))
  isOver = true
  expect(turns).toBeGreaterThanOrEqual(pieces.length - 1)
})

test('where a text takes long, a piece is given out however short it is', async () => {
  let ms = 0
  const slowMs = () => {
    ms += 3
    return ms
  }
  expect(await all(inPieces(['a', 'b', 'c', 'd', 'e'], slowMs))).toEqual(['ab', 'cd', 'e'])
})

test('a source that fails fails the stream, after what was there', async () => {
  function* broken() {
    yield 'a'
    throw new Error('The disk is gone.')
  }
  await expect(all(inPieces(broken(), stillMs))).rejects.toThrow('The disk is gone.')
})
