import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { unwrap } from '../../../../server/blocks/unwrap.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock, type Row } from './one-block.ts'

const hello = (sensor: string, board = 'B1') => ({ kind: 'hello', sensor, board, start: false })
const values = (parameters: Record<string, unknown>, rows: Row[]) =>
  oneBlock(unwrap, parameters)
    .feed(rows)
    .map(({ value }) => value)
const losses = (parameters: Record<string, unknown>, rows: Row[]) =>
  oneBlock(unwrap, parameters)
    .feed(rows)
    .map(({ all }) => (all['lost'] as { reason: string } | null)?.reason ?? null)
const counted = (counts: readonly number[]) => counts.map((value) => ({ counts: value }))

const INCREMENTAL = { sensor: 'incremental' }
const ABSOLUTE = { sensor: 'absolute', countsPerTurn: 4096 }
const TOP = 2 ** 31 - 1
const BOTTOM = -(2 ** 31)

describe('an incremental counter', () => {
  test.each([
    ['goes on as it is', [0, 5, -7, 1000], [0, 5, -7, 1000]],
    ['over the top', [TOP - 1, TOP, BOTTOM, BOTTOM + 4], [TOP - 1, TOP, TOP + 1, TOP + 5]],
    ['under the bottom', [BOTTOM + 1, BOTTOM, TOP], [BOTTOM + 1, BOTTOM, BOTTOM - 1]],
    ['there and back', [TOP, BOTTOM, TOP], [TOP, TOP + 1, TOP]],
    ['does not wrap at a turn', [4095, 0], [4095, 0]],
  ])('%s', (_, given, expected) => {
    expect(values(INCREMENTAL, counted(given))).toEqual(expected)
  })
})

describe('an absolute encoder', () => {
  test.each([
    ['over 360° to 0°', [4094, 4095, 0, 1], [4094, 4095, 4096, 4097]],
    ['under 0° to 360°', [1, 0, 4095], [1, 0, -1]],
    ['trembling at the seam', [0, 4095, 0, 4095, 0], [0, -1, 0, -1, 0]],
    ['three turns', [0, 1500, 3000, 404, 1904, 3404, 808], [0, 1500, 3000, 4500, 6000, 7500, 9000]],
    ['just under half a turn', [0, 2047], [0, 2047]],
    ['just over half a turn is the other way round', [0, 2049], [0, -2047]],
  ])('%s', (_, given, expected) => {
    expect(values(ABSOLUTE, counted(given))).toEqual(expected)
  })

  test('any path of steps under half a turn comes back as it was (seed 11)', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -2047, max: 2047 })), (steps) => {
        let place = 100
        const path = [100, ...steps.map((step) => (place += step))]
        const sent = path.map((counts) => ((counts % 4096) + 4096) % 4096)
        const shift = values(ABSOLUTE, counted(sent))[0]! - 100
        expect(values(ABSOLUTE, counted(sent)).map((value) => value - shift)).toEqual(path)
      }),
      { seed: 11 },
    )
  })
})

describe('what the board says', () => {
  test('decides how counts wrap', () => {
    const rows = [
      { device: hello('absolute'), countsPerTurn: 4096 },
      { counts: 4095, countsPerTurn: 4096 },
      { counts: 0, countsPerTurn: 4096 },
    ]
    expect(values({}, rows).slice(1)).toEqual([4095, 4096])
  })

  test('gives way to the parameters', () => {
    const rows = [
      { device: hello('absolute'), countsPerTurn: 4096 },
      { counts: 4095, countsPerTurn: 4096 },
      { counts: 0, countsPerTurn: 4096 },
    ]
    expect(values(INCREMENTAL, rows).slice(1)).toEqual([4095, 0])
    expect(values({ countsPerTurn: 8192 }, rows).slice(1)).toEqual([4095, 0])
  })

  test('an absolute encoder whose turn nobody knows does not wrap', () => {
    expect(values({ sensor: 'absolute' }, counted([4095, 0]))).toEqual([4095, 0])
  })
})

describe('an origin that is lost', () => {
  const restart = { restart: { arrivalS: 1 } }
  const rows = [{ counts: 500 }, restart, { counts: 3 }, { counts: 8 }]

  test('an incremental counter that began anew: told once, and the count goes on where it stood', () => {
    expect(losses(INCREMENTAL, rows)).toEqual([null, 'device restarted', null, null])
    expect(values(INCREMENTAL, rows)).toEqual([500, 500, 500, 505])
  })

  test('an absolute encoder that began anew has lost nothing', () => {
    expect(losses(ABSOLUTE, rows)).toEqual([null, null, null, null])
    expect(values(ABSOLUTE, rows)).toEqual([500, 500, 3, 8])
  })

  test('another board has another zero, of whatever sort', () => {
    const swapped = [
      { device: hello('absolute') },
      { counts: 7 },
      { device: hello('absolute', 'B2') },
    ]
    expect(losses({}, swapped)).toEqual([null, null, 'another board'])
  })

  test('the same board again is no other', () => {
    const again = [
      { device: hello('incremental') },
      { counts: 7 },
      { device: hello('incremental') },
    ]
    expect(losses({}, again)).toEqual([null, null, null])
  })
})

describe('counts that may be missing', () => {
  const fault = { counts: flawed(500, BAD), device: { kind: 'flags', flags: 1 } }
  const rows = [{ counts: 500 }, fault, { counts: flawed(507, BAD) }, { counts: 509 }]
  const status = (sensorErrors: number) => ({ device: { kind: 'status', sensorErrors } })

  test('put the zero in doubt once, and the counter goes on where it is', () => {
    expect(losses(INCREMENTAL, rows)).toEqual([null, 'counts lost', null, null])
    expect(values(INCREMENTAL, rows)).toEqual([500, 500, 500, 509])
  })

  test('are told by the board, should no line with the flag have come through', () => {
    const unflagged = [status(0), { counts: 3 }, status(2), { counts: 4 }]
    expect(losses(INCREMENTAL, unflagged)).toEqual([null, null, 'counts lost', null])
  })

  test('cannot be with an absolute encoder: it reads its place anew', () => {
    expect(losses(ABSOLUTE, [...rows, status(1), status(2)]).filter(Boolean)).toEqual([])
    const asBoardSays = [{ device: hello('absolute') }, ...rows, status(1), status(2)]
    expect(losses({}, asBoardSays).filter(Boolean)).toEqual([])
  })

  test.each([
    ['of a board that began anew', { ...hello('incremental'), start: true }, []],
    ['of another board', hello('incremental', 'B2'), ['another board']],
    ['of a hello that was asked for', hello('incremental'), ['counts lost']],
  ])('are those since the last beginning: %s', (_, device, lost) => {
    const before = [{ device: hello('incremental') }, { counts: 7 }, status(1)]
    expect(losses({}, [...before, { device }, status(5)]).filter(Boolean)).toEqual(lost)
  })
})

describe('quality', () => {
  test('goes through', () => {
    const rows = [{ counts: flawed(1, UNCERTAIN) }, { counts: nothing }, { counts: 2 }]
    const out = oneBlock(unwrap, INCREMENTAL).feed(rows)
    expect(out.map(({ quality }) => quality)).toEqual([UNCERTAIN, NONE, GOOD])
  })

  test('counts of a faulty sensor are not followed', () => {
    const rows = [{ counts: 4000 }, { counts: flawed(100, BAD) }, { counts: 4010 }]
    expect(values(ABSOLUTE, rows)).toEqual([4000, 4000, 4010])
  })
})
