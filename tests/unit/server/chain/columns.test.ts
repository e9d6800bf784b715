import { describe, expect, test } from 'vitest'
import { checkChain } from '../../../../server/chain/check.ts'
import { type ItemColumn, NONE, type NumberColumn } from '../../../../server/chain/column.ts'
import { makeColumns } from '../../../../server/chain/columns.ts'
import { toyChain, toys } from './toy-blocks.ts'

function columnsOf(text: string, rowsMax = 4) {
  const { blocks, order } = checkChain(toyChain(text), toys)
  const made = makeColumns(blocks, order, rowsMax)
  return (end: string, side: 'in' | 'out') => {
    const [id, port = ''] = end.split('.')
    const columns = made[blocks.findIndex((block) => block.id === id)]![side]
    return (columns as Record<string, NumberColumn & ItemColumn<unknown>>)[port]!
  }
}

test('an input is the very column of the output it is connected to', () => {
  const column = columnsOf('parse link.line, a=gain parse.value, b=gain parse.value')
  expect(column('a.a', 'in')).toBe(column('parse.value', 'out'))
  expect(column('b.a', 'in')).toBe(column('parse.value', 'out'))
  expect(column('a.value', 'out')).not.toBe(column('b.value', 'out'))
})

test('columns hold as many rows as they are told to, and no value at first', () => {
  const column = columnsOf('parse link.line, total parse.value', 7)
  const { value, quality, timeS } = column('total.value', 'out')
  expect([value.length, quality.length, timeS.length]).toEqual([7, 7, 7])
  expect([...quality]).toEqual(new Array(7).fill(NONE))
  expect(column('total.over', 'out')).toMatchObject({ items: new Array(7).fill(null), count: 0 })
})

describe('time', () => {
  test('is shared from the first number input on, all the way from the link', () => {
    const column = columnsOf('parse link.line, gain parse.value, total gain.value')
    const { timeS } = column('link.line', 'out')
    for (const end of ['parse.value', 'gain.value', 'total.value', 'total.over'])
      expect(column(end, 'out').timeS).toBe(timeS)
  })

  test('is its own where a block sets it, and shared from there', () => {
    const column = columnsOf('parse link.line, hasten parse.value, gain hasten.value')
    expect(column('hasten.value', 'out').timeS).not.toBe(column('parse.value', 'out').timeS)
    expect(column('gain.value', 'out').timeS).toBe(column('hasten.value', 'out').timeS)
  })

  test('of two inputs the first counts', () => {
    const column = columnsOf('parse link.line, hasten parse.value, sum hasten.value parse.value')
    expect(column('sum.value', 'out').timeS).toBe(column('hasten.value', 'out').timeS)
  })
})

describe('an input left open', () => {
  test('a number: never a value', () => {
    const column = columnsOf('parse link.line, sum parse.value')
    expect([...column('sum.b', 'in').quality]).toEqual([NONE, NONE, NONE, NONE])
  })

  test('an item: never one', () => {
    const column = columnsOf('parse link.line, probe parse.value')
    expect(column('probe.over', 'in')).toMatchObject({ items: [null, null, null, null], count: 0 })
  })
})

test('an order that names a block that is not there is a mistake in the program', () => {
  const { blocks } = checkChain(toyChain('parse link.line'), toys)
  expect(() => makeColumns(blocks, [0, 1, 2], 4)).toThrow(/no block 2/)
})
