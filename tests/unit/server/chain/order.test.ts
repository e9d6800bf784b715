import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { checkChain } from '../../../../server/chain/check.ts'
import { stepOrder } from '../../../../server/chain/order.ts'
import { toyChain, toys } from './toy-blocks.ts'

const idsInOrder = (text: string) => {
  const plan = checkChain(toyChain(text), toys)
  return plan.order.map((place) => plan.blocks[place]?.id).join(' ')
}

describe('the order in which blocks are stepped', () => {
  test.each([
    ['as in the file', 'parse link.line, gain parse.value', 'link parse gain'],
    ['against the file', 'gain parse.value, parse link.line', 'link parse gain'],
    [
      'equals stay as in the file',
      'parse link.line, b=gain parse.value, a=gain parse.value, c=sum a.value b.value',
      'link parse b a c',
    ],
    [
      'a block that delays waits for nothing',
      'delay sum.value, parse link.line, sum parse.value delay.value',
      'link delay parse sum',
    ],
  ])('%s', (_, text, order) => {
    expect(idsInOrder(text)).toBe(order)
  })

  test('each block comes after what it reads from (seed 20250101)', () => {
    const parents = fc.array(fc.nat(), { minLength: 1, maxLength: 40 })
    fc.assert(
      fc.property(parents, fc.infiniteStream(fc.nat()), (picks, shuffle) => {
        const texts = picks.map((pick, nth) =>
          nth === 0 ? 'n0=parse link.line' : `n${nth}=gain n${pick % nth}.value`,
        )
        const keys = texts.map(() => shuffle.next().value ?? 0)
        const mixed = texts
          .map((text, nth) => ({ text, key: keys[nth] ?? 0 }))
          .sort((a, b) => a.key - b.key)
        const { blocks, order } = checkChain(toyChain(mixed.map((m) => m.text).join(',')), toys)
        expect([...order].sort((a, b) => a - b)).toEqual(blocks.map((_, place) => place))
        for (const [turn, place] of order.entries())
          for (const source of blocks[place]!.inputs.values())
            expect(order.indexOf(source.block)).toBeLessThan(turn)
      }),
      { seed: 20250101, numRuns: 100 },
    )
  })

  test('no blocks, no order', () => {
    expect(stepOrder([])).toEqual([])
  })
})
