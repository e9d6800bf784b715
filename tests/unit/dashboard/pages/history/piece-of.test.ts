import { describe, expect, test } from 'vitest'
import { pieceOf } from '../../../../../dashboard/pages/history/piece-of.ts'
import { pieceOfBend } from '../../../../../dashboard/pages/history/piece-of-bend.ts'
import { pieceWords } from '../../../../../dashboard/words/en-piece.ts'
import type { Act } from '../../../../../server/messages/acts.ts'
import type { Bend } from '../../../../../server/messages/bends.ts'

describe('the piece of a filter', () => {
  test('is that of part and piece alone', () => {
    expect(pieceOf({ part: 'BR & 5', piece: '17' })).toEqual({ part: 'BR & 5', piece: 17 })
    expect(pieceOf({ part: 'BR-5', piece: '17', verdict: ' ' })).toEqual({
      ...{ part: 'BR-5', piece: 17 },
    })
  })

  test.each([
    {},
    { part: 'BR-5' },
    { piece: '17' },
    { piece: '17', lot: 'RT-2207' },
    { part: 'BR-5', piece: '17', lot: 'RT-2207' },
    { part: 'BR-5', piece: '17', signed: 'no' },
  ])('%o is none, or not the whole of it', (filter) => {
    expect(pieceOf(filter)).toBeNull()
  })
})

test('the piece of a bend is the one that it is of by now', () => {
  const bend = { part: 'Rail', piece: 7 } as Bend
  const amend = (field: string, to: string) => ({ kind: 'amendment', field, to }) as Act
  expect(pieceOfBend(bend, [])).toEqual({ part: 'Rail', piece: 7 })
  expect(pieceOfBend(bend, [amend('piece', '8'), amend('part', 'Ladder')])).toEqual({
    ...{ part: 'Ladder', piece: 8 },
  })
})

describe('what is said of signing a piece', () => {
  const signed = (bends: number[]) => bends.map((bendId) => ({ bendId })) as Act[]

  test('names what was signed, and what was left out and why', () => {
    const said = pieceWords.done({
      acts: signed([51, 53]),
      leftOut: [
        { bend: 52, why: 'void' },
        { bend: 54, why: 'signed-already' },
        { bend: 55, why: 'signed-already' },
      ],
    })
    expect(said).toBe(
      'Signed: bends 51, 53. Left out, being void: bend 52. Left out, being signed by the same person before: bends 54, 55.',
    )
    expect(pieceWords.done({ acts: signed([51]), leftOut: [] })).toBe('Signed: bend 51.')
  })

  test('says how many are signed, and that void ones are not', () => {
    expect(pieceWords.all(3, 0)).toBe('All 3 bends of this piece')
    expect(pieceWords.all(3, 1)).toBe('All 2 bends of this piece that are not void')
  })
})
