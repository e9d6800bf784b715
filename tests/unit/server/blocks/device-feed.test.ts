import { describe, expect, test } from 'vitest'
import { deviceFeed } from '../../../../server/blocks/device-feed.ts'
import { nothing, oneBlock } from './one-block.ts'
import { fromDevice, fromHost } from './wire.ts'

const line = fromDevice('x')
const NO_TROUBLE = {
  lines: 1,
  samples: 0,
  badChecksum: 0,
  malformed: 0,
  overlong: 0,
  unknown: 0,
  gaps: 0,
  duplicates: 0,
}
const countersOf = (trouble: object) => {
  const block = oneBlock(deviceFeed)
  block.feed([{ line, counts: nothing, trouble }])
  return block.emitted.at(-1)
}

describe('each trouble has its counter', () => {
  test.each([
    ['bad checksum', 'badChecksum'],
    ['bad crc', 'badChecksum'],
    ['unknown sentence', 'unknown'],
    ['overlong', 'overlong'],
    ['duplicate', 'duplicates'],
    ['empty', 'malformed'],
    ['not printable', 'malformed'],
    ['no start', 'malformed'],
    ['no checksum', 'malformed'],
    ['wrong field count', 'malformed'],
    ['bad field', 'malformed'],
  ])('%s', (reason, counter) => {
    expect(countersOf({ reason })).toEqual({
      type: 'counters',
      counters: { ...NO_TROUBLE, [counter]: 1 },
    })
  })

  test('a gap counts what is missing', () => {
    expect(countersOf({ reason: 'gap', missing: 40 })).toMatchObject({ counters: { gaps: 40 } })
  })
})

test('lines of the station are not counted, and alone make no message', () => {
  const block = oneBlock(deviceFeed)
  block.feed([{ line: fromHost('datum'), counts: nothing }])
  expect(block.emitted).toEqual([])
})

test('counters go on from batch to batch; what was told before does not change', () => {
  const block = oneBlock(deviceFeed)
  block.feed([{ line, counts: 1 }])
  block.feed([
    { line, counts: 1 },
    { line, counts: nothing },
  ])
  expect(block.emitted).toMatchObject([
    { counters: { lines: 1, samples: 1 } },
    { counters: { lines: 3, samples: 2 } },
  ])
})

test('reports and a lost origin are told at the arrival of their line, before the counters', () => {
  const block = oneBlock(deviceFeed)
  const report = { kind: 'answer', command: 1, ok: true, reason: '' }
  block.feed([
    { timeS: 7, line, counts: nothing, device: report },
    { timeS: 8, line, counts: 1, lost: { reason: 'another board' } },
  ])
  expect(block.emitted).toMatchObject([
    { type: 'report', timeS: 7, report },
    { type: 'origin-lost', timeS: 8, reason: 'another board' },
    { type: 'counters' },
  ])
})
