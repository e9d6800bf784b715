import { describe, expect, test } from 'vitest'
import type { CueEvent, CycleEvent } from '../../../../server/bend/cycle-event.ts'
import { bendRecord } from '../../../../server/blocks/bend-record.ts'
import { bendWatch } from '../../../../server/blocks/bend-watch.ts'
import { stopCue } from '../../../../server/blocks/stop-cue.ts'
import { BAD } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock, type Row } from './one-block.ts'

/** The three blocks that only connect what `server/bend` holds: that is what is tested here. */
const AIM = { act: 'aim', commandedDeg: 40, leadS: 0.2, toleranceDeg: 1 }
const DATUM: Row = { timeS: 0, datum: { timeS: 0, readoutDeg: 12.5 } }

/** Loads to 40° at 20°/s, holds a second, lets off to 37° and stands. */
function bend(cell: (angleDeg: number, rateDegPerS: number) => Row): Row[] {
  return Array.from({ length: 1400 }, (_, nth) => {
    const timeS = nth / 200
    const loadedDeg = Math.min(40, 20 * timeS)
    const angleDeg = timeS < 3 ? loadedDeg : Math.max(37, 40 - 10 * (timeS - 3))
    return { timeS, ...cell(angleDeg, timeS < 2 ? 20 : 0) }
  })
}

const eventsOf = (rows: { all: Record<string, unknown> }[]) =>
  rows.flatMap(({ all }) => (all['events'] as CycleEvent[] | null) ?? [])
const kinds = (events: readonly CycleEvent[]) => [...new Set(events.map(({ kind }) => kind))]

describe('bend-watch', () => {
  const watched = (rows: Row[]) => eventsOf(oneBlock(bendWatch).feed(rows))

  test('sees a bend from datum to plateau', () => {
    const events = watched([DATUM, ...bend((angle) => ({ angle }))])
    expect(kinds(events)).toEqual(['datum', 'bending', 'held', 'letting-off', 'settled'])
    expect(events.at(-1)).toMatchObject({
      peakDeg: expect.closeTo(40, 1),
      releasedDeg: expect.closeTo(37, 1),
    })
  })

  test('a datum in an open bend closes it first: both events stand in one row, in order', () => {
    const block = oneBlock(bendWatch)
    block.feed([DATUM, ...bend((angle) => ({ angle }))])
    const rows = block.feed([{ ...DATUM, timeS: 8 }])
    expect(eventsOf(rows)).toMatchObject([
      { kind: 'closed', reason: 'next datum' },
      { kind: 'datum', readoutDeg: 12.5 },
    ])
  })

  test.each<[string, Row, string]>([
    ['a close command', { command: { act: 'close', reason: 'accepted' } }, 'accepted'],
    ['an origin that is lost', { lost: { reason: 'device restarted' } }, 'link lost'],
    ['another board', { lost: { reason: 'another board' } }, 'link lost'],
    ['counts that were lost', { lost: { reason: 'counts lost' } }, 'counts lost'],
  ])('%s closes an open bend', (_, row, reason) => {
    const rows = bend((angle) => ({ angle })).slice(0, 300)
    const events = watched([DATUM, ...rows, { timeS: 1.6, ...row }])
    expect(events.at(-1)).toMatchObject({ kind: 'closed', reason })
  })

  test('a wire that is lost and back leaves the bend open', () => {
    const rows = bend((angle) => ({ angle }))
    const wire = (state: string): Row => ({ timeS: 1, command: { act: 'link', state } })
    const events = watched([
      DATUM,
      ...rows.slice(0, 200),
      wire('lost'),
      wire('back'),
      ...rows.slice(300),
    ])
    expect(kinds(events)).not.toContain('closed')
    expect(events.at(-1)).toMatchObject({ kind: 'settled' })
  })

  test('without a datum nothing is a bend, nor is what only bad values show', () => {
    expect(watched(bend((angle) => ({ angle })))).toEqual([])
    expect(kinds(watched([DATUM, ...bend((angle) => ({ angle: flawed(angle, BAD) }))]))).toEqual([
      'datum',
    ])
  })
})

describe('stop-cue', () => {
  const BENDING: Row = { timeS: 0, events: [{ kind: 'bending', timeS: 0, stroke: 1, go: 1 }] }
  const cues = (rows: Row[]) =>
    oneBlock(stopCue)
      .feed(rows)
      .flatMap(({ all }) => (all['cue'] ? [(all['cue'] as { cue: string }).cue] : []))
  const moves = bend((angle, rate) => ({ angle, rate })).slice(0, 400)

  test('goes from bend over ease to stop, once each, ahead of the aim by the lead', () => {
    expect(cues([{ command: AIM }, BENDING, ...moves])).toEqual(['bend', 'ease', 'stop'])
    const rows = oneBlock(stopCue).feed([{ command: AIM }, BENDING, ...moves])
    const stop = rows.map(({ all }) => all['cue'] as CueEvent | null).find((e) => e?.cue === 'stop')
    expect(stop?.angleDeg).toBeCloseTo(36, 0)
  })

  test.each<[string, Row[]]>([
    ['without an aim', [BENDING, ...moves]],
    ['when nothing is loaded', [{ command: AIM }, ...moves]],
    [
      'on bad values',
      [
        { command: AIM },
        BENDING,
        ...moves.map((row) => ({ ...row, angle: flawed(row['angle'] as number, BAD) })),
      ],
    ],
    [
      'when the rate is bad',
      [{ command: AIM }, BENDING, ...moves.map((row) => ({ ...row, rate: flawed(20, BAD) }))],
    ],
    ['without values', [{ command: AIM }, BENDING, { angle: nothing, rate: nothing }]],
  ])('says nothing %s', (_, rows) => {
    expect(cues(rows)).toEqual([])
  })

  test('goes back to none when the load comes off', () => {
    const off = { kind: 'letting-off', timeS: 3, peakDeg: 40, peakAtS: 2 }
    const rows = [{ command: AIM }, BENDING, ...moves, { events: [off] }, { angle: 39, rate: -5 }]
    expect(cues(rows).at(-1)).toBe('none')
  })
})

describe('bend-record', () => {
  const datum = { kind: 'datum', timeS: 1, readoutDeg: 12 }
  const bending = { kind: 'bending', timeS: 2, stroke: 1, go: 1 }
  const off = { kind: 'letting-off', timeS: 4, peakDeg: 40, peakAtS: 3 }
  const settled = {
    kind: 'settled',
    timeS: 5,
    go: 1,
    strokes: 1,
    peakDeg: 40,
    peakAtS: 3,
    releasedDeg: 37,
    releasedAtS: 4.5,
    releasedSeDeg: 0.01,
  }
  const closed = { kind: 'closed', timeS: 6, reason: 'accepted' }
  const stop = { timeS: 2.5, cue: 'stop', angleDeg: 36, rateDegPerS: 20 }
  const messages = (rows: Row[]) => {
    const block = oneBlock(bendRecord)
    block.feed(rows)
    return block.emitted as { type: string; draft?: object }[]
  }
  const whole: Row[] = [
    { events: [datum], command: AIM },
    { events: [bending] },
    { cue: stop },
    { events: [off, settled] },
    { events: [closed] },
  ]

  test('passes on all that happens, in order, and the draft after the event that closed it', () => {
    expect(messages(whole).map(({ type }) => type)).toEqual([
      'event',
      'event',
      'cue',
      'event',
      'event',
      'event',
      'draft',
    ])
  })

  test('the draft holds what was seen, from the datum on', () => {
    expect(messages(whole).at(-1)?.draft).toMatchObject({
      datumDeg: 12,
      closedBy: 'accepted',
      complete: true,
      goes: [
        {
          commandedDeg: 40,
          cueDeg: 36,
          cueRateDegPerS: 20,
          peakDeg: 40,
          releasedDeg: 37,
          releasedSeDeg: 0.01,
          strokes: 1,
        },
      ],
    })
  })

  test('what was measured before counts were lost stays on record, and counts as not measured', () => {
    const cut = { events: [{ ...closed, reason: 'counts lost' }] }
    expect(messages([...whole.slice(0, -1), cut]).at(-1)?.draft).toMatchObject({
      closedBy: 'counts lost',
      complete: false,
      goes: [{ peakDeg: 40, releasedDeg: 37 }],
    })
  })

  test('a datum that is closed with nothing bent makes no draft', () => {
    const types = messages([{ events: [datum] }, { events: [closed] }]).map(({ type }) => type)
    expect(types).toEqual(['event', 'event'])
  })

  test('no events, no messages', () => {
    expect(messages([{ timeS: 1 }, { timeS: 2 }])).toEqual([])
  })
})
