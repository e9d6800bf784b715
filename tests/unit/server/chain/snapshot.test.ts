import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { ChainRefused } from '../../../../server/chain/chain-refused.ts'
import { readSnapshot, writeSnapshot } from '../../../../server/chain/snapshot.ts'

const write = (memory: object) => writeSnapshot('toy r1', new Map([['a', memory]]))
const read = (text: string, memory: object) =>
  readSnapshot(text, 'toy r1', new Map([['a', memory]]))

describe('a memory comes back as it was', () => {
  test.each([
    ['NaN', Number.NaN],
    ['minus zero', -0],
    ['infinity', Number.POSITIVE_INFINITY],
    ['minus infinity', Number.NEGATIVE_INFINITY],
    ['the least number', 5e-324],
    ['a sum that decimals cannot say', 0.1 + 0.2],
    ['the largest', Number.MAX_VALUE],
    ['a text that looks like a wrapper', '{"$number":"NaN"}'],
    ['a list', [1, -0, [Number.NaN], null, true]],
    ['an object', { deep: { deeper: [-0] } }],
  ])('%s', (_, value) => {
    const memory = { value: null as unknown }
    read(write({ value }), memory)
    expect(memory.value).toStrictEqual(value)
  })

  test('any double at all (seed 7)', () => {
    fc.assert(
      fc.property(fc.array(fc.double()), (values) => {
        const memory = { values: [] as number[] }
        read(write({ values }), memory)
        return values.every((value, nth) => Object.is(value, memory.values[nth]))
      }),
      { seed: 7 },
    )
  })

  test('in place: who holds the memory sees it', () => {
    const memory = { sum: 1 }
    const held = memory
    read(write({ sum: 5 }), memory)
    expect(held.sum).toBe(5)
  })
})

describe('a memory that is no plain data is a mistake in the program', () => {
  test.each([
    ['undefined', undefined],
    ['a function', () => 1],
    ['a map', new Map()],
    ['a typed array', new Float64Array(2)],
    ['a date', /x/],
    ['a symbol', Symbol('x')],
  ])('%s', (_, value) => {
    expect(() => write({ value })).toThrow(TypeError)
  })
})

describe('a bad snapshot is refused, and nothing changes', () => {
  test.each([
    ['no text', ''],
    ['no JSON', '{'],
    ['a number', '3'],
    ['null', 'null'],
    ['a list', '[]'],
    ['no blocks', '{"revision":"toy r1"}'],
    ['blocks as a list', '{"revision":"toy r1","blocks":[]}'],
    ['another chain', '{"revision":"toy r2","blocks":{"a":{"x":1}}}'],
    ['no revision', '{"blocks":{"a":{"x":1}}}'],
    ['a block less', '{"revision":"toy r1","blocks":{}}'],
    ['a block more', '{"revision":"toy r1","blocks":{"a":{"x":1},"b":{}}}'],
    ['another block', '{"revision":"toy r1","blocks":{"b":{"x":1}}}'],
    ['a memory that is a number', '{"revision":"toy r1","blocks":{"a":4}}'],
    ['a key less', '{"revision":"toy r1","blocks":{"a":{}}}'],
    ['a key more', '{"revision":"toy r1","blocks":{"a":{"x":1,"y":2}}}'],
    ['every truncation', write({ x: 1 }).slice(0, -1)],
  ])('%s', (_, text) => {
    const memory = { x: 42 }
    expect(() => read(text, memory)).toThrow(ChainRefused)
    expect(memory).toEqual({ x: 42 })
  })

  test('all blocks or none: a fault in the second leaves the first alone', () => {
    const memories = new Map<string, Record<string, number>>([
      ['a', { x: 1 }],
      ['b', { y: 1 }],
    ])
    const text = '{"revision":"r","blocks":{"a":{"x":2},"b":{"z":2}}}'
    expect(() => readSnapshot(text, 'r', memories)).toThrow(/block "b"/)
    expect(memories.get('a')).toEqual({ x: 1 })
  })
})
