import { describe, expect, test } from 'vitest'
import { compileChain } from '../../../../server/chain/chain.ts'
import { ChainRefused } from '../../../../server/chain/chain-refused.ts'
import { checkChain } from '../../../../server/chain/check.ts'
import { UNITS, UNITS_WITH_RATE } from '../../../../server/chain/unit.ts'
import { withUnits } from '../../../../server/chain/with-units.ts'
import { linesOf, type Probed, type ToyFile, toyChain, toys } from './toy-blocks.ts'

const carrying = (unit: unknown, more = {}) => ({ carry: { unit, ...more } })

function refusalOf(file: ToyFile): ChainRefused {
  try {
    checkChain(file, toys)
  } catch (error) {
    if (error instanceof ChainRefused) return error
    throw error
  }
  throw new Error('the chain was taken')
}

const portsOf = (file: ToyFile) => {
  const placed = checkChain(file, toys).blocks.find(({ id }) => id === 'carry')?.block
  return { in: placed?.inputs['a'], value: placed?.outputs['value'], rate: placed?.outputs['rate'] }
}

describe('a unit that a parameter names', () => {
  test.each([
    ['count', 'count/s'],
    ['deg', 'deg/s'],
    ['deg/s', 'deg/s^2'],
    ['bar', 'bar/s'],
    ['s', '1'],
    ['1', '1/s'],
  ])('%s stands in its ports, and %s in that of the rate', (unit, rate) => {
    const placed = withUnits(toys.find(({ kind }) => kind === 'carry')!, { unit })
    expect(placed.inputs['a']).toMatchObject({ unit })
    expect(placed.outputs).toMatchObject({ value: { unit }, rate: { unit: rate } })
    expect(placed.inputs['b']).toMatchObject({ unit: '1' })
  })

  test('stands in the sentence that refuses a connection, as resolved', () => {
    const into = toyChain('parse link.line, carry parse.value', carrying('bar'))
    expect(refusalOf(into)).toMatchObject({
      code: 'unequal types',
      message: 'parse.value carries numbers in 1, but carry.a takes numbers in bar.',
      block: 'carry',
      port: 'a',
    })
    const out = toyChain(
      'parse link.line, angle=to-degrees parse.value, carry angle.angle, sum carry.value',
      carrying('deg'),
    )
    expect(refusalOf(out).message).toBe(
      'carry.value carries numbers in deg, but sum.a takes numbers in 1.',
    )
    const rate = toyChain(
      'parse link.line, angle=to-degrees parse.value, carry angle.angle, sum carry.rate',
      carrying('deg'),
    )
    expect(refusalOf(rate).message).toBe(
      'carry.rate carries numbers in deg/s, but sum.a takes numbers in 1.',
    )
  })

  test('is the standard one where the file says nothing', () => {
    expect(portsOf(toyChain('parse link.line, carry parse.value'))).toMatchObject({
      value: { unit: '1' },
      rate: { unit: '1/s' },
    })
  })

  test.each(['furlong', 'constructor', '', 7, null, 'bar/s'])('%j is refused', (unit) => {
    expect(refusalOf(toyChain('parse link.line, carry parse.value', carrying(unit))).code).toBe(
      'bad parameters',
    )
  })

  test('leaves the catalogue as it was', () => {
    checkChain(toyChain('parse link.line, carry parse.value'), toys)
    const port = toys.find(({ kind }) => kind === 'carry')?.outputs['value']
    expect(port).toMatchObject({ unit: { parameter: 'unit' } })
  })

  test('each unit with a rate is a unit', () => {
    for (const unit of UNITS_WITH_RATE) expect(UNITS).toContain(unit)
  })
})

test('an input that the parameters make needful is demanded', () => {
  const file = toyChain('parse link.line, carry parse.value', carrying('1', { two: true }))
  expect(refusalOf(file)).toMatchObject({ code: 'input missing', block: 'carry', port: 'b' })
  file.connections.push({ from: 'parse.value', to: 'carry.b' })
  expect(checkChain(file, toys).blocks).toHaveLength(3)
})

test('numbers go through such a block as through any other', () => {
  const chain = compileChain(
    toyChain('parse link.line, carry parse.value, probe carry.value'),
    toys,
  )
  const values: number[] = []
  chain.on('probe', (message) => values.push((message as Probed).value))
  chain.push(linesOf(['1', '2']))
  expect(values).toEqual([1, 2])
})
