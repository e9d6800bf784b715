import { describe, expect, test } from 'vitest'
import { dueFor } from '../../../../server/quality/sampling-plan.ts'

const dueOf = (pieces: number, plan: { everyNth: number | null; lastPiece: number | null }) =>
  Array.from({ length: pieces }, (_, i) => i + 1).flatMap((piece) => {
    const why = dueFor(piece, plan)
    return why === null ? [] : [`${piece} ${why}`]
  })

describe('which pieces are measured by hand', () => {
  test.each([
    [{ everyNth: null, lastPiece: null }, ['1 first']],
    [{ everyNth: 10, lastPiece: null }, ['1 first', '10 every', '20 every']],
    [{ everyNth: null, lastPiece: 17 }, ['1 first', '17 last']],
    [{ everyNth: 10, lastPiece: 20 }, ['1 first', '10 every', '20 last']],
    [{ everyNth: 4, lastPiece: 7 }, ['1 first', '4 every', '7 last', ...after(4, 8)]],
    [{ everyNth: null, lastPiece: 1 }, ['1 first']],
  ])('%j', (plan, due) => {
    expect(dueOf(24, plan)).toEqual(due)
  })

  test('with 1 every piece is, without a plan none', () => {
    expect(dueOf(50, { everyNth: 1, lastPiece: null })).toHaveLength(50)
    for (const piece of [1, 10, 1000]) expect(dueFor(piece, undefined)).toBeNull()
  })
})

/** Whoever bends on past the last piece is still told of every n-th. */
function after(nth: number, from: number): string[] {
  const due: string[] = []
  for (let piece = from; piece <= 24; piece += nth) due.push(`${piece} every`)
  return due
}
