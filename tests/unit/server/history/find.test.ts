import { join } from 'node:path'
import Database from 'better-sqlite3'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { makeAppend } from '../../../../server/history/append.ts'
import { archiveNote } from '../../../../server/history/archive-note.ts'
import { toCanonical } from '../../../../server/history/canonical.ts'
import { idsThatFit } from '../../../../server/history/find/ask.ts'
import { BLOCK_BENDS } from '../../../../server/history/find/block.ts'
import { makeKeepBlocks } from '../../../../server/history/find/block-store.ts'
import { makeSearch } from '../../../../server/history/find/search.ts'
import { makeHashedLog } from '../../../../server/history/hashed-log.ts'
import { type NewBend, VERDICTS } from '../../../../server/messages/bends.ts'
import type { BendFilter } from '../../../../server/messages/find.ts'
import type { BendReadout } from '../../../../server/messages/readout.ts'
import { inOneGo } from '../../../../server/quality/in-one-go.ts'
import { makeFolder, newBend, openShop, rawOf, SETUP, tamper } from './shop.ts'

vi.setConfig({ testTimeout: 60_000, hookTimeout: 120_000 })

const BENDS = BLOCK_BENDS + 200
const EVIL = '<img src=x onerror=alert(1)>'
const PARTS = ['Rail', 'Ladder', 'مِقبض ١', '手すり', 'Geländer 🛥️', EVIL]
const { dir, remove } = makeFolder()
let db: Database.Database

function readoutOf(n: number): BendReadout {
  const checked = n % 5 === 0 ? 'none' : 'good'
  const standing = n % 11 === 0 ? 'overdue' : n % 13 === 0 ? 'failed' : checked
  return { calibration: null, check: null, standing, why: null, releasedExpandedDeg: null }
}

/** The numbers of a selection, rising. */
const selectedIds = (search: ReturnType<typeof makeSearch>, filter: BendFilter): number[] =>
  inOneGo(search.selectionSteps(filter))
    .blocks.flatMap(({ columns, rows, voided }) =>
      [...rows, ...voided].map((row) => columns.first + row),
    )
    .sort((a, b) => a - b)

/** Starts that go back an hour once in 500 bends, and stay back. */
const startMsOf = (n: number) => Date.UTC(2026, 2, 1) + n * 60_000 - Math.floor(n / 500) * 3_600_000

function bendOf(n: number): NewBend {
  const bend = newBend(n)
  const part = PARTS[n % PARTS.length] ?? ''
  return {
    ...bend,
    simulated: n % 9 === 0,
    startedAt: new Date(startMsOf(n)).toISOString(),
    finishedAt: new Date(startMsOf(n) + 12_000).toISOString(),
    verdict: VERDICTS[n % 4] ?? 'in',
    releasedDeg: n % 4 === 3 ? null : 90 + (n % 17) / 100,
    setup: { ...bend.setup, die: { ...bend.setup.die, name: `Die ${n % 3}` } },
    job: { ...bend.job, part, piece: (n % 40) + 1, ...PLANS[n % PLANS.length] },
    readout: readoutOf(n),
  }
}

/** Of the jobs in turn: no plan, one of the first piece alone, one of every tenth and the last. */
const PLANS: readonly Pick<NewBend['job'], 'sampling'>[] = [
  {},
  { sampling: { everyNth: null, lastPiece: null } },
  { sampling: { everyNth: 10, lastPiece: 33 } },
]

interface Said {
  readonly kind: string
  readonly bend_id: number
  readonly [name: string]: string | number
}

/** Puts acts into the log as they lie there, whoever made them. */
function say(acts: readonly Said[]): void {
  const append = makeHashedLog(db, 'act_log', ['kind', 'bend_id'])
  for (const { kind, bend_id, ...rest } of acts)
    append((id) => toCanonical({ id, kind, ...rest }), { kind, bend_id })
}

const ARCHIVED = archiveNote({
  ...{ name: 'before-2026-01-01.sqlite', before: '2026-01-01', records: 5, count: 2 },
  ...{ head: 'ab'.repeat(32), sha256: 'cd'.repeat(32) },
})

const ACTS: readonly Said[] = [
  {
    kind: 'amendment',
    bend_id: 7,
    field: 'part',
    from: PARTS[1] ?? '',
    to: 'Handrail',
    reason: 'Mistyped',
  },
  { kind: 'amendment', bend_id: 7, field: 'part', from: 'Handrail', to: 'Rail', reason: 'Again' },
  {
    kind: 'amendment',
    bend_id: 8,
    field: 'lot',
    from: 'L-1',
    to: 'L-2',
    reason: 'Label read wrong',
  },
  { kind: 'amendment', bend_id: 9, field: 'piece', from: '10', to: '4711', reason: 'x' },
  { kind: 'void', bend_id: 10, reason: 'Tube dropped' },
  { kind: 'void', bend_id: 11, reason: 'Tube dropped' },
  { kind: 'reinstated', bend_id: 11, reason: 'It was another' },
  { kind: 'signature', bend_id: 1200, role: 'signed', meaning: 'Seen' },
  { kind: 'signature', bend_id: 1199, role: 'signed', meaning: 'Seen' },
  { kind: 'amendment', bend_id: 1199, field: 'gauge', from: '', to: 'G-7', reason: 'Forgotten' },
  { kind: 'note', bend_id: 1100, text: 'Ölfilm am Dorn 🔥 — نظّف القالب' },
  { kind: 'note', bend_id: 1101, text: '<b>100 %</b> "quoted" _and_ \u0000 nul' },
  { kind: 'note', bend_id: 1150, at: '2026-03-10T12:00:00.000+01:00', text: 'Measured, 90.1°' },
  { kind: 'note', bend_id: 1151, at: '2026-03-12T08:00:00.000+01:00', text: 'Measured, 90.0°' },
  { kind: 'note', bend_id: 1151, at: '2026-03-12T09:00:00.000+01:00', text: 'Stays' },
  // The clock was set back meanwhile.
  { kind: 'note', bend_id: 1151, at: '2026-03-12T08:30:00.000+01:00', text: 'Sure' },
  { kind: 'note', bend_id: 1152, at: '2026-03-12T10:00:00.000+01:00', text: ARCHIVED },
]

beforeAll(() => {
  const history = openShop(dir)
  const setupIds = [0, 1, 2].map(
    (i) => history.addSetup({ ...SETUP, die: { ...SETUP.die, name: `Die ${i}` } }).id,
  )
  history.close()
  db = new Database(join(dir, 'overbend.sqlite'))
  db.pragma('synchronous = OFF')
  db.transaction(() => {
    const append = makeAppend(db)
    for (let n = 1; n <= BENDS; n += 1)
      append({ ...bendOf(n), setupId: setupIds[n % 3] ?? 0 }, rawOf(n))
    say(ACTS)
  })()
})
afterAll(() => {
  db.close()
  remove()
})

const idsOf = (filter: BendFilter) => idsThatFit(db, filter)
const numbers = (fits: (n: number) => boolean) =>
  Array.from({ length: BENDS }, (_, i) => i + 1).filter(fits)

test('is undecided until it is void or a person writes a note; what an archive leaves decides nothing', () => {
  const decidedSince = (undecidedSince: string) => {
    const open = new Set(idsOf({ undecidedSince }))
    return numbers((n) => !open.has(n))
  }
  expect(decidedSince('2026-03-10T11:00:00Z')).toEqual([10, 1150, 1151])
  expect(decidedSince('2026-03-10T11:00:00.001Z')).toEqual([10, 1151])
  expect(decidedSince('2026-03-12T09:00:00+01:00')).toEqual([10, 1151])
  expect(decidedSince('2026-03-12T09:00:00.001+01:00')).toEqual([10])
  expect(() => idsOf({ undecidedSince: 'Monday' })).toThrow(
    /undecidedSince must be a day or a time/,
  )
})

test.each(['{bad', 'null', '5'])(
  'a note damaged to %s leaves the rest to be searched, and decides nothing',
  (record) => {
    const shop = makeFolder()
    const history = openShop(shop.dir)
    for (const n of [1, 2]) history.append(newBend(n), rawOf(n))
    history.addAct({
      ...{ kind: 'note', schema: 1, at: '2026-01-05T09:00:00.000Z', who: 'Q', whoKnownBy: 'typed' },
      ...{ bendId: 1, text: 'Stays', software: '0.1.0' },
    })
    history.close()
    tamper(shop.file, `UPDATE act_log SET record = '${record}'`)
    const damaged = new Database(shop.file, { readonly: true })
    expect(idsThatFit(damaged, { undecidedSince: '2020-01-01' })).toEqual([1, 2])
    expect(idsThatFit(damaged, { text: 'nobody wrote this' })).toEqual([])
    damaged.close()
    shop.remove()
  },
)

describe('an amended bend', () => {
  test('is found by what was recorded, by what it was in between and by what it is', () => {
    expect(idsOf({ part: 'Handrail' })).toEqual([7])
    expect(idsOf({ part: PARTS[1] ?? '' })).toContain(7)
    expect(idsOf({ part: 'Rail' })).toContain(7)
    expect(idsOf({ lot: 'L-2' })).toEqual([8])
    expect(idsOf({ lot: 'L-1' })).toHaveLength(BENDS)
    expect(idsOf({ piece: 4711 })).toEqual([9])
    expect(idsOf({ piece: 10 })).toContain(9)
  })

  test('is told apart, as are void, signed and noted ones', () => {
    expect(idsOf({ amended: 'yes' })).toEqual([7, 8, 9, 1199])
    expect(idsOf({ voided: 'yes' })).toEqual([10])
    expect(idsOf({ voided: 'no' })).toHaveLength(BENDS - 1)
    expect(idsOf({ signed: 'yes' })).toEqual([1200])
    expect(idsOf({ noted: 'yes' })).toEqual([1100, 1101, 1150, 1151, 1152])
    const { bends } = makeSearch(db).page({ limit: 3, before: 12 })
    expect(bends.map(({ marks }) => [marks?.isVoid, marks?.isAmended])).toEqual([
      [false, false],
      [true, false],
      [false, true],
    ])
    const [noted, plain] = makeSearch(db).page({ limit: 2, before: 1101 }).bends
    expect([noted?.isNoted, plain?.isNoted]).toEqual([true, undefined])
  })
})

describe('words', () => {
  test.each<[string, number[]]>([
    ['ölfilm', [1100]],
    ['ÖLFILM dorn', [1100]],
    ['🔥', [1100]],
    ['القالب', [1100]],
    ['<b>100', [1101]],
    ['100 % "quoted"', [1101]],
    ['label', [8]],
    ['dropped', [10, 11]],
    ['handrail', [7]],
    ['handrail label', []],
    ['4711', [9]],
    ["' OR 1=1 --", []],
    ['%', [1101]],
  ])('%s', (text, ids) => {
    expect(idsOf({ text })).toEqual(ids)
  })

  test('of any script find the part that has them, and nothing is lost on the way', () => {
    for (const [i, part] of PARTS.entries()) {
      const expected = numbers((n) => n % PARTS.length === i)
      expect(idsOf({ part }).filter((id) => id !== 7)).toEqual(expected.filter((id) => id !== 7))
      expect(idsOf({ text: part.slice(-4) })).toEqual(expect.arrayContaining(expected.slice(2)))
    }
    const { bends } = makeSearch(db).page({ limit: 1, part: EVIL })
    expect(bends[0]?.part).toBe(EVIL)
  })
})

test('the readout and the clock', () => {
  expect(idsOf({ readout: 'overdue' })).toEqual(numbers((n) => n % 11 === 0))
  expect(idsOf({ readout: 'failed' })).toEqual(numbers((n) => n % 13 === 0 && n % 11 !== 0))
  expect(idsOf({ readout: 'good' })).toEqual(
    numbers((n) => n % 13 !== 0 && n % 11 !== 0 && n % 5 !== 0),
  )
  expect(idsOf({ readout: 'none' })).toEqual(
    numbers((n) => n % 13 !== 0 && n % 11 !== 0 && n % 5 === 0),
  )
  expect(idsOf({ readout: 'either' })).toEqual(numbers((n) => n % 13 === 0 || n % 11 === 0))
  const back = [500, 1000]
  expect(idsOf({ clock: 'set-back' })).toEqual(back)
  const { bends } = makeSearch(db).page({ limit: 9, clock: 'set-back' })
  // An hour, less the pause between the end of the one before and this start.
  expect(bends.map(({ id, setBackS }) => [id, setBackS])).toEqual(
    back.reverse().map((id) => [id, 3600 - 48]),
  )
  // The order is that of the numbers all the same.
  expect(
    makeSearch(db)
      .page({ limit: 3, before: 502 })
      .bends.map(({ id }) => id),
  ).toEqual([501, 500, 499])
})

test('days counted back end with today by the shop\u2019s clock, and what comes later fits too', () => {
  let nowMs = startMsOf(BENDS)
  const search = makeSearch(db, () => nowMs)
  for (const daysBack of [1, 2, 30]) {
    const today = new Date(nowMs)
    const since = new Date(today.getFullYear(), today.getMonth(), today.getDate() - daysBack + 1)
    const expected = numbers((n) => startMsOf(n) >= since.getTime())
    expect(selectedIds(search, { daysBack })).toEqual(expected)
    expect(search.summary({ daysBack }).total).toBe(expected.length)
  }
  // Midnight goes by, and nothing is recorded: what was counted before is not believed.
  nowMs += 24 * 3_600_000
  expect(search.summary({ daysBack: 1 }).total).toBe(0)
  nowMs -= 10 * 24 * 3_600_000
  expect(search.summary({ daysBack: 1 }).total).toBe(BENDS)
})

const filters = fc.record<BendFilter>(
  {
    part: fc.constantFrom(...PARTS),
    piece: fc.integer({ min: 1, max: 45 }),
    die: fc.constantFrom('Die 0', 'Die 2', 'Die 9'),
    operator: fc.constantFrom('Operator 1', 'nobody'),
    verdict: fc.constantFrom(...VERDICTS),
    simulated: fc.constantFrom('yes', 'no'),
    from: fc.integer({ min: 0, max: BENDS }).map((n) => new Date(startMsOf(n)).toISOString()),
    to: fc.integer({ min: 0, max: BENDS }).map((n) => new Date(startMsOf(n)).toISOString()),
  },
  { requiredKeys: [] },
)

/** The same by the plainest means, of bends that nobody amended. */
function fits(n: number, filter: BendFilter): boolean {
  const { part, piece, die, operator, verdict, simulated, from, to } = filter
  const bend = bendOf(n)
  return (
    (part === undefined || bend.job.part === part) &&
    (piece === undefined || bend.job.piece === piece) &&
    (die === undefined || bend.setup.die.name === die) &&
    (operator === undefined || bend.job.operator === operator) &&
    (verdict === undefined || bend.verdict === verdict) &&
    (simulated === undefined || bend.simulated === (simulated === 'yes')) &&
    (from === undefined || startMsOf(n) >= Date.parse(from)) &&
    (to === undefined || startMsOf(n) < Date.parse(to))
  )
}
const isPlain = (n: number) => n < 7 || n > 11

test('any filter gives what filtering by hand gives, walked in either order, and its summary (seed 42)', () => {
  const search = makeSearch(db)
  fc.assert(
    fc.property(filters, fc.integer({ min: 1, max: BENDS }), (filter, at) => {
      const found = idsOf(filter)
      expect(found.filter(isPlain)).toEqual(numbers((n) => isPlain(n) && fits(n, filter)))
      const older = search.page({ ...filter, limit: 20, before: at })
      const newer = search.page({ ...filter, limit: 20, after: at, order: 'oldest' })
      const [before, after] = [found.filter((n) => n < at), found.filter((n) => n > at)]
      expect(older.bends.map(({ id }) => id)).toEqual(before.slice(-20).reverse())
      expect(newer.bends.map(({ id }) => id)).toEqual(after.slice(0, 20))
      expect(older.nextBefore).toBe(before.length > 20 ? before.at(-20) : null)
      expect(newer.nextAfter).toBe(after.length > 20 ? after[19] : null)
      checkSummary(filter, found)
    }),
    { seed: 42, numRuns: 60 },
  )

  function checkSummary(filter: BendFilter, found: number[]): void {
    const summary = search.summary(filter)
    const bends = found.map(bendOf)
    const off = bends.flatMap(({ releasedDeg, wantedDeg }, i) =>
      releasedDeg === null || found[i] === 10 ? [] : [releasedDeg - wantedDeg],
    )
    const mean = off.reduce((sum, deg) => sum + deg, 0) / off.length
    const squares = off.reduce((sum, deg) => sum + (deg - mean) ** 2, 0)
    expect(summary.total).toBe(found.length)
    expect(summary.measured).toBe(off.length)
    expect(summary.verdicts.under).toBe(bends.filter(({ verdict }) => verdict === 'under').length)
    if (off.length === 0) expect(summary.meanOffDeg).toBeNull()
    else expect(summary.meanOffDeg).toBeCloseTo(mean, 9)
    if (off.length > 1)
      expect(summary.sdOffDeg).toBeCloseTo(Math.sqrt(squares / (off.length - 1)), 9)
    const starts = found.map(startMsOf)
    const ends = [Math.min(...starts), Math.max(...starts)]
    const told = [summary.earliest, summary.latest].map((text) => text && Date.parse(text))
    expect(told).toEqual(found.length === 0 ? [null, null] : ends)
  }
})

test('where nothing fits, it is told what each condition keeps out', () => {
  const { total, without } = makeSearch(db).summary({
    operator: 'nobody',
    verdict: 'in',
    die: 'Die 1',
  })
  expect(total).toBe(0)
  expect(without).toEqual([
    { name: 'operator', total: numbers((n) => n % 4 === 0 && n % 3 === 1).length },
    { name: 'die', total: 0 },
    { name: 'verdict', total: 0 },
  ])
})

describe('blocks that are kept', () => {
  const all: BendFilter = { verdict: 'in', part: EVIL }
  const kept = () => db.prepare('SELECT number FROM find_block ORDER BY number').pluck().all()
  const keep = () => [...makeKeepBlocks(db)()]

  test('are made once, a step each, and change nothing of what is found', () => {
    const expected = idsOf(all)
    expect(keep()).toEqual([BLOCK_BENDS])
    expect(kept()).toEqual([0])
    expect(keep()).toEqual([])
    expect(idsOf(all)).toEqual(expected)
    expect(selectedIds(makeSearch(db), all)).toEqual(expected)
  })

  test.each([
    ['of another history', "UPDATE find_block SET last_hash = x'00'"],
    ['of another format', 'UPDATE find_block SET format = 0'],
    ['emptied', 'DELETE FROM find_block'],
  ])('%s are made anew', (_, sql) => {
    const expected = idsOf(all)
    db.exec(sql)
    expect(idsOf(all)).toEqual(expected)
    expect(keep()).toHaveLength(1)
    expect(idsOf(all)).toEqual(expected)
  })

  test('cut short are not believed', () => {
    const expected = idsOf(all)
    db.exec("UPDATE find_block SET columns = x'0011'")
    expect(idsOf(all)).toEqual(expected)
    db.exec('DELETE FROM find_block')
  })
})

test('what is recorded and decided after a question is in the next answer', () => {
  const other = makeFolder()
  const history = openShop(other.dir, 3)
  try {
    expect(history.summary({ text: 'slipped' }).total).toBe(0)
    history.append(newBend(4), rawOf(4))
    history.addAct({
      ...{ kind: 'teaching', schema: 1, at: '2026-01-05T09:00:00.000Z', who: 'Quality' },
      ...{ decision: 'taken-out', reason: 'The clamp slipped.', bendId: 4, software: '0.1.0' },
    })
    expect(history.summary({ text: 'SLIPPED' }).total).toBe(1)
    expect(history.summary({}).total).toBe(4)
    expect(history.knownNames()).toMatchObject({ lot: ['L-1'], die: ['38 rail'] })
  } finally {
    history.close()
    other.remove()
  }
})

describe('bends that are due for inspection', () => {
  const on = (bend_id: number, kind: string, more: object = {}): Said => ({
    ...{ kind, bend_id, reason: 'Seen', ...more },
  })
  const toPiece = (id: number, to: string) =>
    on(id, 'amendment', { field: 'piece', from: 'x', to }) as Said
  const asked: Said[] = [...ACTS]

  /** The same by the plainest means: the plan of the record, and every act from the first on. */
  function isDue(n: number): boolean {
    const { job, verdict } = bendOf(n)
    const about = asked.filter(({ bend_id }) => bend_id === n)
    const amended = about.filter(({ kind, field }) => kind === 'amendment' && field === 'piece')
    const piece = Number(amended.at(-1)?.['to'] ?? job.piece)
    const turns = about.filter(({ kind }) => kind === 'void' || kind === 'reinstated')
    if (job.sampling === undefined || verdict === 'incomplete') return false
    if (turns.at(-1)?.kind === 'void') return false
    if (about.some(({ kind }) => kind === 'inspection')) return false
    const { everyNth, lastPiece } = job.sampling
    return piece === 1 || piece === lastPiece || (everyNth !== null && piece % everyNth === 0)
  }

  /** One search that goes along with the acts, one that reads everything anew: both are to say the same. */
  function check(follows: ReturnType<typeof makeSearch>): number[] {
    const due = numbers(isDue)
    expect(selectedIds(follows, { due: 'yes' })).toEqual(due)
    expect(idsOf({ due: 'yes' })).toEqual(due)
    expect(idsOf({ due: 'no' })).toEqual(numbers((n) => !isDue(n)))
    const { bends } = follows.page({ limit: 500, order: 'oldest' })
    expect(bends.filter((row) => row.isDue).map(({ id }) => id)).toEqual(
      due.filter((n) => n <= 500),
    )
    return due
  }

  test('are those of the plan that nobody inspected, as they stand after each act', () => {
    const follows = makeSearch(db)
    const [first = 0, second = 0, third = 0] = check(follows)
    const undue = numbers((n) => bendOf(n).job.sampling !== undefined && !isDue(n) && n > 20)
    const complete = undue.filter((n) => bendOf(n).verdict !== 'incomplete')
    const [other = 0, incomplete = 0] = [complete[0], undue.find((n) => !complete.includes(n))]
    for (const act of [
      on(first, 'inspection'),
      on(second, 'void'),
      on(second, 'reinstated'),
      toPiece(third, '2'),
      toPiece(third, '1'),
      toPiece(other, '1'),
      on(other, 'void'),
      on(other, 'inspection'),
      on(other, 'reinstated'),
      toPiece(incomplete, '1'),
    ]) {
      asked.push(act)
      db.transaction(() => say([act]))()
      check(follows)
    }
    expect(isDue(first)).toBe(false)
    expect([second, third].every(isDue)).toBe(true)
    expect([other, incomplete].some(isDue)).toBe(false)
  })

  test('stay so in blocks that are kept', () => {
    db.exec('DELETE FROM find_block')
    expect([...makeKeepBlocks(db)()]).toEqual([BLOCK_BENDS])
    check(makeSearch(db))
  })
})
