import { describe, expect, test } from 'vitest'
import { deviceFeed } from '../../../../server/blocks/device-feed.ts'
import { BAD } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock } from './one-block.ts'
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
      missed: { pressureS: 0, switchS: 0 },
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

describe('what should stand beside a reading', () => {
  type Cells = Record<string, unknown>
  /** Readings 0.5 s apart, each with the cells of one row, in two batches: what was missed then. */
  const missedOf = (rows: readonly Cells[]) => {
    const block = oneBlock(deviceFeed)
    const timed = rows.map((cells, nth) => ({ timeS: 10 + nth / 2, line, counts: 1, ...cells }))
    block.feed(timed.slice(0, 2))
    block.feed(timed.slice(2))
    return (block.emitted.at(-1) as { missed: object }).missed
  }
  const bare = {}

  test.each<[string, Cells[], object]>([
    ['and does not: seconds of readings', [bare, bare, bare], { pressureS: 1, switchS: 1 }],
    [
      'and does',
      [{ pressure: 5, closed: 1 }, bare, { pressure: 7, closed: 0 }],
      { pressureS: 0, switchS: 0 },
    ],
    [
      'each by itself',
      [{ pressure: 5 }, { pressure: 5 }, { pressure: 5 }],
      { pressureS: 0, switchS: 1 },
    ],
    ['and did once', [bare, { closed: 1 }, bare, bare], { pressureS: 1.5, switchS: 1 }],
    [
      'in a line of its own',
      [bare, bare, { counts: nothing, pressure: 3 }, bare],
      { pressureS: 1, switchS: 1.5 },
    ],
    ['and cannot be read', [bare, { closed: flawed(1, BAD) }, bare], { pressureS: 1, switchS: 1 }],
    [
      'beside readings that are bad: nobody can tell',
      [bare, { counts: flawed(1, BAD) }, { counts: flawed(1, BAD) }],
      { pressureS: 0, switchS: 0 },
    ],
    [
      'over a wire that was lost: nothing is missed meanwhile',
      [bare, bare, { timeS: 400 }, { timeS: 400.5 }],
      { pressureS: 1, switchS: 1 },
    ],
    [
      'should time step back',
      [bare, bare, { timeS: 3 }, { timeS: 3.5 }],
      { pressureS: 1, switchS: 1 },
    ],
  ])('%s', (_, rows, expected) => {
    expect(missedOf(rows)).toEqual(expected)
  })
})
