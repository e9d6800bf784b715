import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { csvTap } from '../../../../server/blocks/csv-tap.ts'
import { catalogue } from '../../../../server/blocks/index.ts'
import { mqttPublish } from '../../../../server/blocks/mqtt-publish.ts'
import { output } from '../../../../server/blocks/output.ts'
import { dieEncoderChain } from '../../../../server/blocks/shipped/die-encoder.ts'
import type { TapMessage } from '../../../../server/blocks/tap-message.ts'
import { webhook } from '../../../../server/blocks/webhook.ts'
import type { Block } from '../../../../server/chain/block.ts'
import { ChainRefused } from '../../../../server/chain/chain-refused.ts'
import { checkChain } from '../../../../server/chain/check.ts'
import { BAD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { readSnapshot, writeSnapshot } from '../../../../server/chain/snapshot.ts'
import { flawed, oneBlock, type Row } from './one-block.ts'

const letOutBy = (block: Block, parameters: Record<string, unknown>, rows: readonly Row[]) => {
  const one = oneBlock(block, parameters)
  one.feed(rows)
  return one.emitted as TapMessage[]
}
const valuesOf = (messages: readonly TapMessage[]) =>
  messages.flatMap((one) => (one.type === 'value' ? [[one.timeS, one.value, one.quality]] : []))
const at = (timeS: number, value: unknown): Row => ({ timeS, value })

const taps: readonly [string, Block][] = [
  ['csv-tap', csvTap],
  ['mqtt-publish', mqttPublish],
  ['webhook', webhook],
]

describe.each(taps)('%s', (_, block) => {
  test('lets a value out no oftener than everyS, the first at once', () => {
    const rows = Array.from({ length: 401 }, (_, nth) => at(10 + nth * 0.005, nth))
    expect(valuesOf(letOutBy(block, { everyS: 0.5 }, rows))).toEqual([
      [10, 0, 'good'],
      [10.5, 100, 'good'],
      [11, 200, 'good'],
      [11.5, 300, 'good'],
      [12, 400, 'good'],
    ])
  })

  test('with a step only what has changed by so much, or in quality', () => {
    const rows = [
      at(0, 5),
      at(1, 5.4),
      at(2, 4.5),
      at(3, flawed(4.6, UNCERTAIN)),
      at(4, flawed(4.6, UNCERTAIN)),
      at(5, flawed(99, BAD)),
      at(6, flawed(3, BAD)),
      at(7, 4.5),
    ]
    expect(valuesOf(letOutBy(block, { everyS: 1, step: 0.5 }, rows))).toEqual([
      [0, 5, 'good'],
      [2, 4.5, 'good'],
      [3, 4.6, 'uncertain'],
      [5, 99, 'bad'],
      [7, 4.5, 'good'],
    ])
  })

  test('a value that is no number is bad and empty; a row without a value is nothing', () => {
    const rows = [
      at(0, Number.NaN),
      at(1, Number.NEGATIVE_INFINITY),
      at(2, flawed(7, NONE)),
      at(3, 1),
    ]
    expect(valuesOf(letOutBy(block, { everyS: 1 }, rows))).toEqual([
      [0, null, 'bad'],
      [1, null, 'bad'],
      [3, 1, 'good'],
    ])
  })

  test('where time goes back it begins anew', () => {
    expect(valuesOf(letOutBy(block, { everyS: 60 }, [at(100, 1), at(5, 2), at(6, 3)]))).toEqual([
      [100, 1, 'good'],
      [5, 2, 'good'],
    ])
  })

  test('lets every event out, with its own time and figures, however close', () => {
    const settled = { kind: 'settled', timeS: 3.5, go: 1, peakDeg: 92.1, releasedDeg: 90.02 }
    const messages = letOutBy(block, { everyS: 3600 }, [
      { timeS: 1, crossing: { on: true, timeS: 1 } },
      { timeS: 1.001, crossing: { on: false, timeS: 1.001 } },
      { timeS: 2, agreement: { agree: false, timeS: 2, difference: 1.5 } },
      { timeS: 4, events: [{ kind: 'taken-out', timeS: 3 }, settled] },
      { timeS: 5, cue: { cue: 'stop', timeS: 5, angleDeg: 91, rateDegPerS: 8 } },
    ])
    expect(messages).toEqual([
      { type: 'event', block: 'x', timeS: 1, event: 'threshold on', facts: {} },
      { type: 'event', block: 'x', timeS: 1.001, event: 'threshold off', facts: {} },
      {
        type: 'event',
        block: 'x',
        timeS: 2,
        event: 'sensors disagree',
        facts: { difference: 1.5 },
      },
      { type: 'event', block: 'x', timeS: 3, event: 'bend taken-out', facts: {} },
      {
        ...{ type: 'event', block: 'x', timeS: 3.5, event: 'bend settled' },
        facts: { go: 1, peakDeg: 92.1, releasedDeg: 90.02 },
      },
      {
        ...{ type: 'event', block: 'x', timeS: 5, event: 'cue stop' },
        facts: { angleDeg: 91, rateDegPerS: 8 },
      },
    ])
  })
})

const value = fc.oneof(
  fc.double({ min: -3, max: 3, noNaN: true }),
  fc.constantFrom(0, 1, Number.NaN, 1e300, -0),
)
const quality = fc.constantFrom(0, 0, 0, 1, BAD, NONE)
const drafts = fc.array(
  fc.record({
    stepS: fc.constantFrom(0.005, 0.02, 0.5, 0, -1),
    value,
    quality,
    crossed: fc.constantFrom(null, true, false),
  }),
  { minLength: 1, maxLength: 60 },
)
const rowsOf = (
  draft: readonly { stepS: number; value: number; quality: number; crossed: unknown }[],
) => {
  let timeS = 10
  return draft.map((one): Row => {
    timeS += one.stepS
    const given = flawed(one.value, one.quality)
    const crossing = one.crossed === null ? null : { on: one.crossed, timeS }
    return { timeS, value: given, on: given, crossing }
  })
}
const all: readonly [string, Block, Record<string, unknown>][] = [
  ['csv-tap', csvTap, { everyS: 0.02, step: 0.5 }],
  ['output', output, { timeToLiveS: 0.3 }],
]

describe.each(all)('%s', (_, block, parameters) => {
  test('one row at a time lets out what one batch does (seed 41)', () => {
    fc.assert(
      fc.property(drafts, (draft) => {
        const rows = rowsOf(draft)
        const single = oneBlock(block, parameters)
        for (const row of rows) single.feed([row])
        expect(single.emitted).toEqual(letOutBy(block, parameters, rows))
      }),
      { seed: 41 },
    )
  })

  test('a snapshot at any row goes on with the same (seed 42)', () => {
    fc.assert(
      fc.property(drafts, fc.nat(60), (draft, place) => {
        const rows = rowsOf(draft)
        const before = oneBlock(block, parameters)
        before.feed(rows.slice(0, place))
        const after = oneBlock(block, parameters)
        const text = writeSnapshot('r1', new Map([['x', before.memory]]))
        readSnapshot(text, 'r1', new Map([['x', after.memory]]))
        after.feed(rows.slice(place))
        expect([...before.emitted, ...after.emitted]).toEqual(letOutBy(block, parameters, rows))
      }),
      { seed: 42 },
    )
  })
})

describe('an output', () => {
  const switches = (rows: readonly Row[], parameters: Record<string, unknown> = {}) =>
    letOutBy(output, { output: 'lamp', timeToLiveS: 0.3, ...parameters }, rows).map((one) =>
      one.type === 'switch' ? [one.timeS, one.on] : one,
    )
  const on = (timeS: number, value: unknown): Row => ({ timeS, on: value })

  test('says which, and for how long', () => {
    expect(letOutBy(output, { output: 'lamp', timeToLiveS: 0.3 }, [on(1, 1)])).toEqual([
      { type: 'switch', block: 'x', timeS: 1, output: 'lamp', on: true, lifeS: 0.3 },
    ])
  })

  test('that is to stay on is told so three times a life, and told off at once', () => {
    const rows = [0, 0.05, 0.1, 0.15, 0.2, 0.25].map((timeS) => on(timeS, 1))
    expect(switches([...rows, on(0.26, 0), on(0.27, 0)])).toEqual([
      [0, true],
      [0.1, true],
      [0.2, true],
      [0.26, false],
    ])
  })

  test('bad values neither keep it on nor switch it: it runs out', () => {
    expect(switches([on(0, 1), on(0.1, flawed(1, BAD)), on(0.2, Number.NaN), on(1, 1)])).toEqual([
      [0, true],
      [1, true],
    ])
    expect(switches([on(0, flawed(1, BAD)), on(1, flawed(0, BAD))])).toEqual([])
  })

  test.each<[string, Row, boolean]>([
    ['a threshold that goes on', { crossing: { on: true, timeS: 7 } }, true],
    ['a threshold that goes off', { crossing: { on: false, timeS: 7 } }, false],
    ['sensors that disagree', { agreement: { agree: false, timeS: 7 } }, true],
    ['sensors that agree again', { agreement: { agree: true, timeS: 7 } }, false],
    ['the chosen bend event', { events: [{ kind: 'held', timeS: 7 }] }, true],
    ['another bend event', { events: [{ kind: 'settled', timeS: 7 }] }, false],
    ['the stop', { cue: { cue: 'stop', timeS: 7 } }, true],
    ['another stage of the cue', { cue: { cue: 'ease', timeS: 7 } }, false],
  ])('%s', (_, row, isSwitched) => {
    expect(switches([{ timeS: 9, ...row }], { bendEvent: 'held' })).toEqual(
      isSwitched ? [[7, true]] : [],
    )
  })
})

describe('in a chain', () => {
  const withBlock = (kind: string, parameters: object, to: string | null = 'value') => ({
    ...dieEncoderChain,
    blocks: [...dieEncoderChain.blocks, { id: 'mine', kind, parameters }],
    connections:
      to === null
        ? dieEncoderChain.connections
        : [...dieEncoderChain.connections, { from: 'smoother.angle', to: `mine.${to}` }],
  })
  const watched = (parameters: object) => ({
    ...dieEncoderChain,
    blocks: [...dieEncoderChain.blocks, { id: 'mine', kind: 'output', parameters }],
    connections: [...dieEncoderChain.connections, { from: 'bend-watch.events', to: 'mine.events' }],
  })
  function refusalOf(file: unknown): ChainRefused {
    try {
      checkChain(file, catalogue)
    } catch (error) {
      if (error instanceof ChainRefused) return error
      throw error
    }
    throw new Error('It was not refused.')
  }

  test.each([
    ['csv-tap', {}],
    ['mqtt-publish', { host: 'broker.shop' }],
    ['webhook', { host: '10.0.0.7' }],
  ])('%s is taken', (kind, parameters) => {
    expect(() => checkChain(withBlock(kind, parameters), catalogue)).not.toThrow()
  })

  test('an output with a time to live is taken', () => {
    expect(() => checkChain(watched({ timeToLiveS: 0.5 }), catalogue)).not.toThrow()
  })

  test.each([{}, { timeToLiveS: 0 }, { timeToLiveS: 0.05 }])(
    'an output with %j is refused: block, port, and what would mend it',
    (parameters) => {
      const refusal = refusalOf(watched({ output: 'relay', ...parameters }))
      expect(refusal).toMatchObject({ code: 'block objects', block: 'mine', port: 'events' })
      expect(refusal.message).toBe(
        'mine.events switches the relay without a time to live: ' +
          'set timeToLiveS to 0.1 up to 2 seconds, so that it falls by itself.',
      )
    },
  )

  test.each<[string, unknown, string, RegExp]>([
    [
      'a broker that is not named',
      withBlock('mqtt-publish', {}),
      'value',
      /goes nowhere: set host/,
    ],
    ['a receiver that is not named', withBlock('webhook', {}), 'value', /goes nowhere: set host/],
    [
      'a tap with nothing connected',
      withBlock('csv-tap', {}, null),
      'value',
      /is not connected, nor/,
    ],
    [
      'an output with nothing connected',
      withBlock('output', { timeToLiveS: 1 }, null),
      'on',
      /is not connected, nor/,
    ],
  ])('%s is refused at its port', (_, file, port, why) => {
    const refusal = refusalOf(file)
    expect(refusal).toMatchObject({ code: 'block objects', block: 'mine', port })
    expect(refusal.message).toMatch(why)
  })

  test.each<[string, object]>([
    ['csv-tap', { file: '../bends' }],
    ['csv-tap', { file: 'a/b' }],
    ['csv-tap', { file: '' }],
    ['csv-tap', { file: '.hidden' }],
    ['csv-tap', { file: 'x'.repeat(41) }],
    ['csv-tap', { everyS: 0 }],
    ['csv-tap', { filesMax: 0 }],
    ['mqtt-publish', { host: 'a b' }],
    ['mqtt-publish', { host: 'user:pass@broker' }],
    ['mqtt-publish', { host: 'broker', topic: 'all/#' }],
    ['mqtt-publish', { host: 'broker', topic: '$SYS/x' }],
    ['mqtt-publish', { host: 'broker', topic: '/x' }],
    ['mqtt-publish', { host: 'broker', login: 'HOME' }],
    ['mqtt-publish', { host: 'broker', password: 'secret' }],
    ['mqtt-publish', { host: 'broker', port: 0 }],
    ['webhook', { host: 'http://x' }],
    ['webhook', { host: 'x', path: 'bends' }],
    ['webhook', { host: 'x', path: '/a b' }],
    ['webhook', { host: 'x', path: '/a\r\nHost: y' }],
    ['output', { output: 'horn', timeToLiveS: 1 }],
    ['output', { timeToLiveS: 2.1 }],
  ])('%s with %j is refused', (kind, parameters) => {
    expect(refusalOf(withBlock(kind, parameters))).toMatchObject({
      code: 'bad parameters',
      block: 'mine',
    })
  })
})
