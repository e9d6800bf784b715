import { describe, expect, test } from 'vitest'
import { type Chain, compileChain } from '../../../../server/chain/chain.ts'
import { BATCH_ROWS_MAX, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { linesOf, type Probed, toyChain, toys } from './toy-blocks.ts'

function listen(chain: Chain): Probed[] {
  const heard: Probed[] = []
  chain.on('probe', (message) => heard.push(message as Probed))
  return heard
}

const toy = (text: string, parameters = {}) => compileChain(toyChain(text, parameters), toys)
const DOUBLED = 'parse link.line, gain parse.value, probe gain.value'

test('lines go in, values with time and quality come out', () => {
  const chain = toy(DOUBLED)
  const heard = listen(chain)
  chain.push(linesOf(['1', 'rubbish', '3?'], 10))
  expect(heard).toMatchObject([
    { timeS: 10, value: 2, quality: GOOD, over: null },
    { timeS: 10.125, value: 0, quality: NONE, over: null },
    { timeS: 10.25, value: 6, quality: UNCERTAIN, over: null },
  ])
})

test('a chain is named by its name and revision, and shows its file', () => {
  const chain = toy(DOUBLED)
  expect(chain.revision).toBe('toy r3')
  expect(chain.file).toEqual(toyChain(DOUBLED))
})

test('parameters reach their block', () => {
  const chain = toy(DOUBLED, { gain: { factor: -3 } })
  const heard = listen(chain)
  chain.push(linesOf(['5']))
  expect(heard[0]?.value).toBe(-15)
})

test('an optional input left open never has a value', () => {
  const chain = toy('parse link.line, sum parse.value, probe sum.value')
  const heard = listen(chain)
  chain.push(linesOf(['5']))
  expect(heard[0]?.quality).toBe(NONE)
})

test('a block that sets time sets it for all that comes after, and for nothing else', () => {
  const chain = toy(
    'parse link.line, hasten parse.value, a=gain hasten.value, s=sum parse.value a.value, p=probe a.value, q=probe s.value',
  )
  const heard = listen(chain)
  chain.push(linesOf(['1'], 8))
  expect(heard.map(({ timeS }) => timeS)).toEqual([4, 8])
})

test('items are gone in the next batch', () => {
  const chain = toy('parse link.line, total parse.value, probe total.value total.over')
  const heard = listen(chain)
  chain.push(linesOf(['99', '2', '1']))
  chain.push(linesOf(['-50', '0', '0']))
  expect(heard.map(({ over }) => over)).toEqual([null, 101, 102, null, null, null])
})

test.each([0, 1, BATCH_ROWS_MAX - 1, BATCH_ROWS_MAX, BATCH_ROWS_MAX + 1, 5 * BATCH_ROWS_MAX + 7])(
  '%i lines in one push are all run, in order',
  (count) => {
    const chain = toy('parse link.line, total parse.value, probe total.value')
    const heard = listen(chain)
    chain.push(linesOf(Array.from({ length: count }, () => '1')))
    expect(heard.map(({ value }) => value)).toEqual(Array.from({ length: count }, (_, n) => n + 1))
  },
)

describe('a loop through a delay', () => {
  const LOOP = 'parse link.line, sum parse.value delay.value, delay sum.value, probe sum.value'

  test('begins with the initial value, then holds until the next evaluation', () => {
    // IEC 61131-3: a feedback variable gives its initial value in the first evaluation, and after each
    // evaluation its new value is used until the next (wording from a reference page, not the standard).
    const chain = toy(LOOP, { delay: { initial: 100 } })
    const heard = listen(chain)
    chain.push(linesOf(['1', '2', '3', '4']))
    expect(heard.map(({ value }) => value)).toEqual([101, 103, 106, 110])
    expect(heard[0]?.quality).toBe(UNCERTAIN)
  })

  test('rows without a value leave the delay as it is', () => {
    const chain = toy(LOOP)
    const heard = listen(chain)
    chain.push(linesOf(['1', 'x', '2']))
    expect(heard.map(({ value, quality }) => [value, quality === NONE])).toEqual([
      [1, false],
      [0, true],
      [3, false],
    ])
  })

  test('a value keeps its time in the delay', () => {
    const chain = toy('parse link.line, delay parse.value, probe delay.value')
    const heard = listen(chain)
    chain.push(linesOf(['1', 'x', '3', '4'], 5))
    expect(heard.map(({ timeS }) => timeS)).toEqual([0, 5, 5, 5.25])
  })

  test('quality goes round as well', () => {
    const chain = toy('parse link.line, delay parse.value, probe delay.value')
    const heard = listen(chain)
    chain.push(linesOf(['1', '2?', '3', '4']))
    expect(heard.map(({ quality }) => quality)).toEqual([UNCERTAIN, GOOD, UNCERTAIN, GOOD])
  })
})

describe('listeners', () => {
  test('one that pushes: its lines come after those that wait, and are run before push returns', () => {
    const chain = toy('parse link.line, total parse.value, probe total.value')
    const heard: number[] = []
    chain.on('probe', (message) => {
      const { value } = message as Probed
      heard.push(value)
      if (value === 1) chain.push(linesOf(['100']))
    })
    chain.push(linesOf(['1', '1', '1']))
    expect(heard).toEqual([1, 2, 3, 103])
  })

  test('one that throws: all lines are run, then its first error comes out', () => {
    const chain = toy('parse link.line, total parse.value, probe total.value')
    const heard = listen(chain)
    chain.on('probe', (message) => {
      throw new Error(`at ${(message as Probed).value}`)
    })
    expect(() => chain.push(linesOf(['1', '1']))).toThrow('at 1')
    expect(heard).toHaveLength(2)
    expect(() => chain.push(linesOf(['1']))).toThrow('at 3')
    expect(heard.map(({ value }) => value)).toEqual([1, 2, 3])
  })

  test('one that pushes at every message is stopped before memory is', () => {
    const chain = toy('parse link.line, probe parse.value')
    const many = linesOf(new Array(60_000).fill('1'))
    let refusal: unknown
    const leave = chain.on('probe', () => {
      leave()
      try {
        chain.push(many)
      } catch (error) {
        refusal = error
      }
    })
    chain.push(linesOf(new Array(6000).fill('1')))
    expect(refusal).toBeInstanceOf(RangeError)
  })

  test('after a refused push the chain runs on', () => {
    const chain = toy('parse link.line, total parse.value, probe total.value')
    expect(() => chain.push(linesOf(new Array(65_537).fill('1')))).toThrow(/push fewer/)
    const heard = listen(chain)
    chain.push(linesOf(['5']))
    expect(heard.map(({ value }) => value)).toEqual([5])
  })
})

describe('snapshot and restore', () => {
  test('a restored chain goes on where the other stood', () => {
    const text = 'parse link.line, total parse.value, probe total.value'
    const first = toy(text)
    first.push(linesOf(['0.1', '0.2']))
    const second = toy(text)
    second.restore(first.snapshot())
    const heard = listen(second)
    second.push(linesOf(['0']))
    expect(heard[0]?.value).toBe(0.1 + 0.2)
  })

  test('a fresh chain restores to a fresh one, minus zero and all', () => {
    const chain = toy('parse link.line, total parse.value, probe total.value')
    const fresh = chain.snapshot()
    chain.push(linesOf(['5']))
    chain.restore(fresh)
    expect(chain.snapshot()).toBe(fresh)
    expect(fresh).toContain('"-0"')
  })

  test('a snapshot of another chain is refused', () => {
    const snapshot = toy(DOUBLED).snapshot()
    const other = toy('parse link.line, probe parse.value')
    expect(() => other.restore(snapshot)).toThrow(/snapshot is refused/)
  })
})

test('an outlet that this chain does not have is refused', () => {
  expect(() => toy(DOUBLED).on('live', () => {})).toThrow(RangeError)
})
