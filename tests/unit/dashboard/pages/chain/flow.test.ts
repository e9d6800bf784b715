import { describe, expect, test } from 'vitest'
import { type Flow, flowsAfter } from '../../../../../dashboard/pages/chain/flow.ts'
import { valueText } from '../../../../../dashboard/pages/chain/value-text.ts'
import type { ChainSeen } from '../../../../../server/messages/chain.ts'

type Output = ChainSeen['outputs'][number]

const OUTPUT: Output = {
  ...{ block: 'datum', port: 'angle', good: 5, uncertain: 0, bad: 0 },
  ...{ value: 12.345, quality: 0, timeS: 99.9 },
}
const seen = (change: Partial<Output> = {}, nowS = 100): ChainSeen => ({
  ...{ revision: 'die-encoder r1', nowS, taps: [] },
  outputs: [{ ...OUTPUT, ...change }],
})
const flowOf = (one: ChainSeen, ...more: readonly ChainSeen[]): Flow => {
  const flows = more.reduce((before, next) => flowsAfter(next, before), flowsAfter(one, new Map()))
  const flow = flows.get('datum.angle')
  if (flow === undefined) throw new Error('The output is gone.')
  return flow
}

describe('how an output is doing', () => {
  test.each([
    ['good', {}, 100],
    ['uncertain', { quality: 1 }, 100],
    ['bad', { quality: 2 }, 100],
    ['quiet', {}, 101.5],
    ['none', { value: null, quality: 3, timeS: null }, 100],
  ] as const)('%s', (condition, change, nowS) => {
    expect(flowOf(seen(change, nowS)).condition).toBe(condition)
  })

  test('a single bad value between two looks is not lost to the good one after it', () => {
    const later = seen({ good: 48, bad: 1, timeS: 100.1 }, 100.2)
    expect(flowOf(seen(), later).condition).toBe('bad')
    const again = seen({ good: 90, bad: 1, timeS: 100.3 }, 100.4)
    expect(flowOf(seen(), later, again).condition).toBe('good')
  })

  test('its age is never below nothing, however clocks were read', () => {
    expect(flowOf(seen({ timeS: 100.4 })).ageS).toBe(0)
  })
})

test('a small trace takes up each new value once, and no more than it can show', () => {
  const values = Array.from({ length: 200 }, (_, nth) =>
    seen({ value: nth, timeS: 100 + nth / 10 }, 100 + nth / 10),
  )
  const { trace } = flowOf(seen({ value: -1 }), ...values)
  expect(trace).toHaveLength(80)
  expect(trace.at(-1)).toBe(199)
  expect(flowOf(seen(), seen(), seen()).trace).toEqual([12.345])
})

describe('what goes over an output, in words', () => {
  test.each([
    ['number', 'deg', {}, '12.35°'],
    ['number', 'deg/s', { value: -0.04 }, '0.0 deg/s'],
    ['number', 'count', { value: -357 }, '−357 count'],
    ['number', '1', { value: 0.5 }, '0.50'],
    ['number', 'deg', { value: null, timeS: null }, 'nothing yet'],
    ['item', 'datum', { value: null, good: 1 }, '1 came'],
    ['item', 'datum', { value: null, good: 3 }, '3 came'],
    ['item', 'datum', { value: null, good: 0, timeS: null }, 'nothing yet'],
  ] as const)('%s in %s, %j: %s', (carries, of, change, text) => {
    expect(valueText(flowOf(seen(change)), carries, of)).toBe(text)
  })
})
