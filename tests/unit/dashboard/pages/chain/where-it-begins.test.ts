import { describe, expect, test } from 'vitest'
import { flowsAfter } from '../../../../../dashboard/pages/chain/flow.ts'
import { beginningsOf, worstOf } from '../../../../../dashboard/pages/chain/where-it-begins.ts'
import { words } from '../../../../../dashboard/words/en.ts'
import type { ChainBlock } from '../../../../../server/messages/chain.ts'

/** `scale decode.counts` is a block that takes one number and gives `out`; without a source it takes lines. */
function graph(...texts: string[]): ChainBlock[] {
  return texts.map((text) => {
    const [id = '', ...sources] = text.split(' ')
    return {
      id,
      kind: id,
      summary: '',
      parameters: {},
      schema: {},
      delays: false,
      inputs: sources.map((from, nth) => ({
        name: `in${nth}`,
        carries: 'number',
        of: 'deg',
        help: '',
        from,
        isOptional: false,
      })),
      outputs: [{ name: 'out', carries: 'number', of: 'deg', help: '' }],
    } satisfies ChainBlock
  })
}

const WAY = graph('decode', 'scale decode.out', 'datum scale.out', 'feed datum.out')

/** Age in seconds and quality of each block's last value; null where none ever came. */
type Last = readonly [ageS: number, quality: number] | null

function flowsOf(last: Readonly<Record<string, Last>>) {
  const nowS = 100
  const outputs = Object.entries(last).map(([block, its]) => ({
    block,
    port: 'out',
    good: its === null ? 0 : 9,
    uncertain: 0,
    bad: 0,
    value: its === null ? null : 1,
    quality: its?.[1] ?? 3,
    timeS: its === null ? null : nowS - its[0],
  }))
  return flowsAfter({ revision: 'a r1', nowS, outputs, taps: [] }, new Map())
}

const found = (blocks: readonly ChainBlock[], last: Readonly<Record<string, Last>>) =>
  beginningsOf(blocks, flowsOf(last)).map(({ trouble, block }) => `${trouble} ${block}`)

const good: Last = [0.01, 0]

describe('where trouble begins', () => {
  test.each<[string, Record<string, Last>, string[]]>([
    ['all is well', { decode: good, scale: good, datum: good, feed: good }, []],
    [
      'the sensor is pulled: everything is stale, and it is named once',
      { decode: [3, 0], scale: [3, 0], datum: [3, 0], feed: [3, 0] },
      ['stale decode'],
    ],
    [
      'one block gives nothing more while values reach it',
      { decode: good, scale: good, datum: [1.2, 0], feed: [1.2, 0] },
      ['stale datum'],
    ],
    ['late, not yet stale', { decode: [0.5, 0], scale: [0.5, 0], datum: good }, ['late decode']],
    [
      'uncertain on the wire, bad further on: both begin somewhere',
      { decode: [0, 1], scale: [0, 1], datum: [0, 2], feed: [0, 2] },
      ['uncertain decode', 'bad datum'],
    ],
    [
      'a block that makes it better begins nothing',
      { decode: [0, 2], scale: [0, 1] },
      ['bad decode'],
    ],
    ['an output that was never in use is no trouble', { decode: null, scale: null }, []],
  ])('%s', (_, last, begins) => {
    expect(found(WAY, last)).toEqual(begins)
  })

  test('of two inputs the worse one counts', () => {
    const two = graph('a', 'b', 'average a.out b.out')
    expect(found(two, { a: good, b: [0, 2], average: [0, 2] })).toEqual(['bad b'])
  })

  test('a slow sensor is not late in its own step', () => {
    const at = (timeS: number, good: number) => ({
      revision: 'a r1',
      nowS: timeS + 0.7,
      taps: [],
      outputs: [
        { block: 'decode', port: 'out', good, uncertain: 0, bad: 0, value: 1, quality: 0, timeS },
      ],
    })
    const blocks = graph('decode')
    const first = flowsAfter(at(10, 5), new Map())
    expect(beginningsOf(blocks, first).map(({ trouble }) => trouble)).toEqual(['late'])
    expect(beginningsOf(blocks, flowsAfter(at(11, 7), first))).toEqual([])
  })
})

describe('what is told', () => {
  test('the worst, and of equals the one furthest to the left', () => {
    const begins = beginningsOf(graph('a', 'b', 'c'), flowsOf({ a: [0, 1], b: [2, 0], c: [3, 0] }))
    expect(worstOf(begins)?.block).toBe('b')
    expect(worstOf([])).toBeNull()
  })

  test('one sentence names the block, the port, how long, and what to look at', () => {
    const say = (last: Readonly<Record<string, Last>>) => {
      const worst = worstOf(beginningsOf(WAY, flowsOf(last)))
      return worst && words.chain.begins.sentence(worst)
    }
    expect(say({ decode: [1.2, 0], scale: [1.2, 0] })).toBe(
      'Values are stale from block decode on: no out has come out for 1.2 s. Look at the sensor and its wire: no reading comes in.',
    )
    expect(say({ decode: good, scale: [0, 2] })).toMatch(
      /^Values are bad from block scale on.*open the block/,
    )
  })
})
