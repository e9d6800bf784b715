import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { toCanonical } from '../../../../server/history/canonical.ts'
import type { History } from '../../../../server/history/history.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { RAW_BYTES_MAX, RAW_LINES_MAX } from '../../../../server/history/raw-text.ts'
import type { NewBend } from '../../../../server/messages/bends.ts'
import { makeFolder, newBend, openShop, rawOf, refusalOf, SETUP } from './shop.ts'

// Every append waits for the disk, and a busy one takes its time.
vi.setConfig({ testTimeout: 60_000 })

let dir: string
let file: string
let remove: () => void
let history: History

beforeEach(() => {
  ;({ dir, file, remove } = makeFolder())
  history = openShop(dir)
})
afterEach(() => {
  history.close()
  remove()
})

describe('a recorded bend', () => {
  test('is what was given, the names for scripts, and the chain', () => {
    const given = newBend(1)
    const bend = history.append(given, rawOf(1))
    expect(bend).toEqual({
      id: 1,
      ...given,
      lot: 'L-1',
      part: 'Ladder',
      piece: 1,
      bendNumber: 1,
      operator: 'Operator 2',
      rawLines: 3,
      rawSha256: expect.stringMatching(/^[0-9a-f]{64}$/),
      previousHash: '0'.repeat(64),
      hash: expect.stringMatching(/^[0-9a-f]{64}$/),
    })
    expect(history.bend(1)).toEqual(bend)
  })

  test('follows the one before it', () => {
    const first = history.append(newBend(1), rawOf(1))
    const second = history.append(newBend(2), rawOf(2))
    expect(second.id).toBe(2)
    expect(second.previousHash).toBe(first.hash)
    expect(history.count()).toBe(2)
  })

  test('keeps every null, every go and text of every kind', () => {
    const odd = newBend(1, {
      peakDeg: null,
      releasedDeg: null,
      releasedSeDeg: null,
      springbackDeg: null,
      commandedDeg: null,
      goes: [],
      hits: 0,
      verdict: 'incomplete',
      learned: 'no',
      notLearnedWhy: '"quoted", \\ \u0000 \u2028 \u{1F6A4} µ',
      prediction: null,
      datumDeg: null,
    })
    history.append(odd, rawOf(1))
    expect(history.bend(1)).toMatchObject(odd)
    expect(history.verify().intact).toBe(true)
  })

  test('is given back rounded to a millionth, as it is kept', () => {
    const bend = history.append(newBend(1, { peakDeg: 93.123456789 }), rawOf(1))
    expect(bend.peakDeg).toBe(93.123457)
    expect(history.bend(1)?.peakDeg).toBe(93.123457)
  })

  test('closes the open bend in the same transaction', () => {
    history.openBend({
      startedAt: '2026-01-05T08:00:00+01:00',
      setupId: 1,
      job: newBend(1).job,
      simulated: true,
    })
    expect(history.leftOpen()?.job.part).toBe('Ladder')
    history.append(newBend(1), rawOf(1))
    expect(history.leftOpen()).toBeNull()
  })

  test('saved late, it leaves the mark of the one that is open by now', () => {
    const mark = {
      startedAt: '2026-01-05T08:00:00+01:00',
      setupId: 1,
      job: newBend(2).job,
      simulated: true,
    }
    history.openBend(mark)
    history.append(newBend(1), rawOf(1), true)
    expect(history.leftOpen()).toEqual(mark)
  })

  test('there is none under a number that was never given', () => {
    history.append(newBend(1), rawOf(1))
    for (const id of [0, -1, 2, 1.5, Number.NaN, 2 ** 60]) {
      expect(history.bend(id)).toBeNull()
      expect(history.raw(id)).toBeNull()
    }
  })
})

describe('what is no bend is refused, and the history goes on', () => {
  const with_ = (changes: object) => ({ ...newBend(1), ...changes }) as NewBend

  test.each<[string, NewBend, string]>([
    ['a missing name', with_({ wantedDeg: undefined }), 'wantedDeg'],
    ['an unknown name', with_({ colour: 'red' }), 'bend'],
    ['another schema', with_({ schema: 2 }), '/schema'],
    ['an unknown verdict', with_({ verdict: 'fine' }), '/verdict'],
    ['NaN', with_({ peakDeg: Number.NaN }), '/peakDeg'],
    ['infinity', with_({ leadS: Number.POSITIVE_INFINITY }), '/leadS'],
    ['more than ten turns', with_({ peakDeg: 3601 }), '/peakDeg'],
    ['a fraction of a go', with_({ hits: 1.5 }), '/hits'],
    ['a start that is no time', with_({ startedAt: 'yesterday' }), 'startedAt'],
    ['a start without an offset', with_({ startedAt: '2026-01-05T07:00:00' }), 'startedAt'],
    ['a day that the calendar lacks', with_({ startedAt: '2026-02-30T07:00:00Z' }), 'startedAt'],
    ['an end that is no time', with_({ finishedAt: '2026-01-05' }), 'finishedAt'],
    ['a number too large for exact steps', with_({ leadS: 1e15 }), '/leadS'],
    ['a lone surrogate', with_({ calibration: 'a\uD800' }), 'surrogate'],
    ['a set-up that is not there', with_({ setupId: 7 }), 'set-up number 7'],
    [
      'a set-up other than that of its number',
      with_({ tube: { ...SETUP.tube, lot: 'L-2' } }),
      'set-up number 1',
    ],
  ])('%s', (_, bend, names) => {
    const refusal = refusalOf(() => history.append(bend, rawOf(1)))
    expect(refusal.code).toBe('HISTORY_BAD_BEND')
    expect(refusal.remedy).toBe('caller')
    expect(refusal.message).toContain(names)
    expect(history.count()).toBe(0)
    expect(history.append(newBend(1), rawOf(1)).id).toBe(1)
    expect(history.verify()).toMatchObject({ records: 1, intact: true })
  })
})

describe('raw lines', () => {
  test.each([
    ['none at all', { chain: '', snapshot: '', lines: [] }],
    ['empty ones', { chain: 'c', snapshot: 's', lines: ['', '', ''] }],
    ['line feeds in the snapshot', { chain: 'a\nb', snapshot: '{\n}', lines: ['x'] }],
    [
      'every printable and odd character',
      { chain: 'c', snapshot: '"', lines: ['\t\r\0µ\u{1F6A4}'] },
    ],
  ])('%s come back as they were', (_, raw) => {
    const bend = history.append(newBend(1), raw)
    expect(bend.rawLines).toBe(raw.lines.length)
    expect(history.raw(1)).toEqual(raw)
    expect(history.verify().intact).toBe(true)
  })

  test('as many as may be kept are kept', () => {
    const lines = Array.from({ length: RAW_LINES_MAX }, (_, i) => `${i}`)
    history.append(newBend(1), { chain: 'c', snapshot: 's', lines })
    expect(history.raw(1)?.lines).toEqual(lines)
    expect(history.verify().intact).toBe(true)
  })

  test.each([
    [
      'one line too many',
      Array.from({ length: RAW_LINES_MAX + 1 }, () => ''),
      String(RAW_LINES_MAX),
    ],
    ['too many bytes', ['x'.repeat(RAW_BYTES_MAX)], String(RAW_BYTES_MAX)],
    ['a line feed in a line', ['good', 'a\nb'], 'line 2'],
    ['a lone surrogate', ['\uDC00'], 'surrogate'],
  ])('%s: refused, nothing recorded, and the next is', (_, lines, names) => {
    const raw = { chain: 'c', snapshot: 's', lines }
    const refusal = refusalOf(() => history.append(newBend(1), raw))
    expect(refusal.code).toBe('HISTORY_BAD_RAW')
    expect(refusal.message).toContain(names)
    expect(history.count()).toBe(0)
    expect(history.append(newBend(1), rawOf(1)).id).toBe(1)
  })
})

describe('a file that may not grow', () => {
  test('refuses with a code, keeps what it has, and takes the bend later', () => {
    history.close()
    history = openHistory(dir, { pagesMax: 60 })
    const noise = (n: number) => ({
      ...rawOf(n),
      lines: Array.from({ length: 400 }, (_, i) => `${Math.sin(i * n)}`),
    })
    let saved = 0
    const refusal = refusalOf(() => {
      for (let n = 1; n < 1000; n += 1) saved = history.append(newBend(n), noise(n)).id
    })
    expect([refusal.code, refusal.remedy]).toEqual(['HISTORY_DISK_FULL', 'disk'])
    expect(saved).toBeGreaterThan(3)
    expect(history.count()).toBe(saved)
    expect(history.verify()).toMatchObject({ records: saved, intact: true })
    refusalOf(() => history.append(newBend(saved + 1), noise(saved + 1)))
    history.close()
    history = openHistory(dir, { pagesMax: 600 })
    expect(history.append(newBend(saved + 1), noise(saved + 1)).id).toBe(saved + 1)
    expect(history.verify()).toMatchObject({ records: saved + 1, intact: true })
  })
})

describe('evidence is append-only', () => {
  const TABLES = ['bend', 'raw', 'setup']

  test.each(
    TABLES.flatMap((table) => [
      `UPDATE ${table} SET rowid = rowid + 10`,
      `DELETE FROM ${table}`,
      `INSERT OR REPLACE INTO ${table} SELECT * FROM ${table} WHERE rowid = 1`,
    ]),
  )('%s', (sql) => {
    history.append(newBend(1), rawOf(1))
    history.append(newBend(2), rawOf(2))
    history.addSetup({ ...SETUP, station: 'Other' })
    history.close()
    const db = new Database(file)
    expect(() => db.exec(sql)).toThrow('append-only')
    db.close()
    history = openHistory(dir)
    expect(history.verify()).toMatchObject({ records: 2, intact: true })
  })

  test('every column of the bend refuses to change', () => {
    history.append(newBend(1), rawOf(1))
    const db = new Database(file)
    const columns = db.prepare("SELECT name FROM pragma_table_info('bend')").pluck().all()
    expect(columns).toHaveLength(11)
    for (const column of columns)
      expect(() => db.exec(`UPDATE bend SET ${column} = ${column}`)).toThrow('append-only')
    db.close()
  })
})

describe('set-ups', () => {
  const OTHER = { ...SETUP, tube: { ...SETUP.tube, lot: 'L-2' } }

  test('are numbered, dated, and given newest first', () => {
    const other = history.addSetup(OTHER)
    expect(other.id).toBe(2)
    expect(other.createdAt).toMatch(/^2026-01-0\dT\d\d:\d\d:00\.000[+-]\d\d:\d\d$/)
    expect(Date.parse(other.createdAt)).toBe(Date.UTC(2026, 0, 5, 6))
    expect(history.setups().map(({ id }) => id)).toEqual([2, 1])
    expect(history.setups()[0]?.setup).toEqual(OTHER)
  })

  test('an equal one keeps its number, whatever the order of its names', () => {
    const { station, die, tube, sensor } = SETUP
    expect(history.addSetup({ sensor, tube, die, station }).id).toBe(1)
    expect(history.addSetup({ ...SETUP, die: { ...die, odMm: 38.1 + 1e-9 } }).id).toBe(1)
    expect(history.setups()).toHaveLength(1)
  })

  test('a micrometre makes another', () => {
    expect(history.addSetup({ ...SETUP, die: { ...SETUP.die, odMm: 38.101 } }).id).toBe(2)
  })

  test.each([
    ['an unknown name', { ...SETUP, colour: 'red' }],
    ['a wall of nothing', { ...SETUP, tube: { ...SETUP.tube, wallMm: Number.NaN } }],
    ['no station', { ...SETUP, station: '' }],
    ['a lone surrogate', { ...SETUP, station: '\uD800' }],
  ])('%s is refused', (_, setup) => {
    expect(refusalOf(() => history.addSetup(setup)).code).toBe('HISTORY_BAD_SETUP')
    expect(history.setups()).toHaveLength(1)
  })
})

describe('notes', () => {
  test.each([[null], [0], ['text'], [[1, 2]], [{ part: 'Rail', piece: 3 }], [false]])(
    'remembers %j',
    (value) => {
      history.remember('job', value)
      history.close()
      history = openHistory(dir)
      expect(history.recall('job')).toEqual(value)
    },
  )

  test('the last one counts, and an unknown name has none', () => {
    history.remember('job', 1)
    history.remember('job', 2)
    expect(history.recall('job')).toBe(2)
    expect(history.recall('other')).toBeUndefined()
  })

  test.each([
    ['no name', '', 1],
    ['a long name', 'x'.repeat(81), 1],
    ['nothing', 'job', undefined],
    ['a function', 'job', () => 1],
    ['too much', 'job', 'x'.repeat(70_000)],
  ])('%s is refused', (_, name, value) => {
    expect(refusalOf(() => history.remember(name, value)).code).toBe('HISTORY_BAD_SETTING')
  })

  test('an open bend survives, is replaced by the next, and can be closed', () => {
    const open = {
      startedAt: '2026-01-05T08:00:00Z',
      setupId: 1,
      job: newBend(1).job,
      simulated: true,
    }
    history.openBend(open)
    history.openBend({ ...open, simulated: false })
    history.close()
    history = openHistory(dir)
    expect(history.leftOpen()).toEqual({ ...open, simulated: false })
    history.closeOpenBend()
    expect(history.leftOpen()).toBeNull()
    history.closeOpenBend()
  })
})

test('the hash is the one that anyone can compute from the bend', async () => {
  const { createHash } = await import('node:crypto')
  history.append(newBend(1), rawOf(1))
  const { previousHash, hash, ...evidence } = history.append(newBend(2), rawOf(2))
  const computed = createHash('sha256')
    .update(Buffer.from(previousHash, 'hex'))
    .update(toCanonical(evidence))
    .digest('hex')
  expect(hash).toBe(computed)
})
