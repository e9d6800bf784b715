import { createHash } from 'node:crypto'
import { copyFileSync, readFileSync, truncateSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { nextHash } from '../../../../server/history/chain-hash.ts'
import type { History } from '../../../../server/history/history.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { verifyFolder } from '../../../../server/history/reader.ts'
import { verifyNow, verifySteps } from '../../../../server/history/verify.ts'
import { EXAMPLE_PHOTO } from '../../../support/example-acts.ts'
import { fillShop, makeFolder, newBend, openShop, rawOf, refusalOf, SETUP, tamper } from './shop.ts'

// Every append waits for the disk, and a busy one takes its time.
vi.setConfig({ testTimeout: 60_000 })

const BENDS = 7
/** The one that is tampered with: neither first nor last. */
const VICTIM = 4
const { dir, file, remove } = makeFolder()
let db: Database.Database
let heads: string[]

beforeAll(() => {
  const history = openShop(dir)
  history.addSetup({ ...SETUP, station: 'Other bender' })
  heads = Array.from({ length: BENDS }, (_, i) => history.append(newBend(i + 1), rawOf(i + 1)).hash)
  history.close()
  // A connection without triggers and rules: what a person with a tool has.
  tamper(file, 'UPDATE bend SET id = id WHERE FALSE')
  db = new Database(file)
  db.pragma('foreign_keys = OFF')
  db.pragma('ignore_check_constraints = ON')
})
afterAll(() => {
  db.close()
  remove()
})

/** What verify says after `change`, which is taken back. */
function verifiedAfter(change: () => void, anchor?: string) {
  db.exec('BEGIN')
  try {
    change()
    return verifyNow(db, { anchor })
  } finally {
    db.exec('ROLLBACK')
  }
}

const set = (column: string, value: unknown, id = VICTIM) =>
  db.prepare(`UPDATE bend SET ${column} = ? WHERE id = ?`).run(value, id)
const recordOf = (id: number) =>
  db.prepare<[number], string>('SELECT record FROM bend WHERE id = ?').pluck().get(id)!

test('an untouched history is intact, and its head is the last hash', () => {
  expect(verifiedAfter(() => undefined)).toEqual({
    records: BENDS,
    intact: true,
    firstBroken: null,
    why: null,
    head: heads.at(-1),
    readout: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
    acts: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
    chains: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
    people: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
    exports: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
  })
})

describe('every column of a record', () => {
  const flipped = (value: unknown): unknown => {
    if (typeof value === 'number') return value === 1 ? 0 : value + 1
    if (typeof value === 'string') return `${value} `
    return Buffer.from(value as Buffer).fill(1, 31)
  }

  test('altered, is found at that record', () => {
    const row = db.prepare('SELECT * FROM bend WHERE id = ?').get(VICTIM) as object
    const columns = Object.entries(row).filter(([name]) => name !== 'id')
    expect(columns).toHaveLength(10)
    for (const [name, value] of columns) {
      const found = verifiedAfter(() => set(name, flipped(value)))
      expect(found, name).toMatchObject({ records: BENDS, intact: false, firstBroken: VICTIM })
      expect(found.why).toContain(String(VICTIM))
    }
  })

  test('altered in the first and in the last record, is found there', () => {
    for (const id of [1, BENDS])
      expect(verifiedAfter(() => set('verdict', 'over', id)).firstBroken).toBe(id)
  })

  test('a filter column says which one it is', () => {
    expect(verifiedAfter(() => set('operator', 'Operator 9')).why).toContain('operator')
    expect(verifiedAfter(() => set('started_ms', 0)).why).toContain('started_ms')
    expect(verifiedAfter(() => set('setup_id', 2)).why).toContain('setup_id')
  })
})

describe('every field of the text', () => {
  type Json = null | boolean | number | string | Json[] | { [name: string]: Json }

  /** The same text with one leaf changed, for each leaf. */
  function* variants(value: Json): Generator<Json> {
    if (Array.isArray(value)) {
      for (const [i, item] of value.entries())
        for (const changed of variants(item)) yield value.with(i, changed)
    } else if (typeof value === 'object' && value !== null) {
      for (const [name, item] of Object.entries(value))
        for (const changed of variants(item)) yield { ...value, [name]: changed }
    } else if (typeof value === 'number') yield value + 1
    else if (typeof value === 'string') yield `${value}x`
    else yield value === null ? 0 : !value
  }

  test('altered, is found at that record', () => {
    const changed = [...variants(JSON.parse(recordOf(VICTIM)) as Json)]
    expect(changed.length).toBeGreaterThan(60)
    for (const record of changed) {
      const text = JSON.stringify(record)
      const { firstBroken } = verifiedAfter(() => set('record', text))
      expect(firstBroken, text).toBe(VICTIM)
    }
  })

  test('removed or put in, is found at that record', () => {
    const record = JSON.parse(recordOf(VICTIM)) as Record<string, Json>
    for (const name of Object.keys(record)) {
      const { [name]: _, ...rest } = record
      expect(verifiedAfter(() => set('record', JSON.stringify(rest))).firstBroken).toBe(VICTIM)
    }
    const more = JSON.stringify({ ...record, note: 'x' })
    expect(verifiedAfter(() => set('record', more)).firstBroken).toBe(VICTIM)
  })

  test('altered with a hash that fits, is found at the next record', () => {
    const record = recordOf(VICTIM).replace('"accepted"', '"Accepted"')
    const found = verifiedAfter(() => {
      set('record', record)
      set('hash', nextHash(Buffer.from(heads[VICTIM - 2]!, 'hex'), record))
    })
    expect(found.firstBroken).toBe(VICTIM + 1)
  })

  test.each(['', 'null', '[]', '{}', '{"id":4}', 'no JSON'])(
    'replaced by %j with a hash that fits, is found at that record',
    (record) => {
      const found = verifiedAfter(() => {
        set('record', record)
        set('hash', nextHash(Buffer.from(heads[VICTIM - 2]!, 'hex'), record))
      })
      expect(found.firstBroken).toBe(VICTIM)
    },
  )
})

describe('raw lines', () => {
  const packedOf = (id: number) =>
    db.prepare<[number], Buffer>('SELECT packed FROM raw WHERE bend_id = ?').pluck().get(id)!
  const setRaw = (packed: Buffer) =>
    db.prepare('UPDATE raw SET packed = ? WHERE bend_id = ?').run(packed, VICTIM)

  test('every byte flipped in one bit is found, unless the very same lines come out', () => {
    const packed = packedOf(VICTIM)
    let harmless = 0
    for (let at = 0; at < packed.length; at += 1) {
      const bent = Buffer.from(packed)
      bent[at]! ^= 1 << (at & 7)
      const { intact, firstBroken } = verifiedAfter(() => setRaw(bent))
      if (intact) harmless += 1
      else expect(firstBroken).toBe(VICTIM)
    }
    // Only the unused bits of the byte before the checksum may change nothing.
    expect(harmless).toBeLessThan(2)
  })

  test.each<[string, () => void]>([
    ['cut off', () => setRaw(packedOf(VICTIM).subarray(0, -5))],
    ['emptied', () => setRaw(Buffer.alloc(0))],
    ['taken from another bend', () => setRaw(packedOf(2))],
    ['removed', () => db.prepare('DELETE FROM raw WHERE bend_id = ?').run(VICTIM)],
  ])('%s, are found at that record', (_, change) => {
    expect(verifiedAfter(change).firstBroken).toBe(VICTIM)
  })

  test('that fill the memory when unpacked are found, not unpacked', async () => {
    const { deflateSync } = await import('node:zlib')
    const bomb = deflateSync(Buffer.alloc(64 * 1024 * 1024))
    expect(verifiedAfter(() => setRaw(bomb)).firstBroken).toBe(VICTIM)
  })
})

describe('records removed, moved or put in', () => {
  const remove_ = (id: number) => {
    db.prepare('DELETE FROM bend WHERE id = ?').run(id)
    db.prepare('DELETE FROM raw WHERE bend_id = ?').run(id)
  }

  test.each([1, 2, 4, 6])('record %i removed is found at its number', (id) => {
    const found = verifiedAfter(() => remove_(id))
    expect(found).toMatchObject({ intact: false, firstBroken: id, records: BENDS - 1 })
    expect(found.why).toContain('missing')
  })

  test('removed, and those after it counted down, is found at its number', () => {
    const found = verifiedAfter(() => {
      remove_(3)
      for (const table of [
        'bend SET id = id - 1 WHERE id',
        'raw SET bend_id = bend_id - 1 WHERE bend_id',
      ])
        for (let id = 4; id <= BENDS; id += 1) db.prepare(`UPDATE ${table} = ?`).run(id)
    })
    expect(found.firstBroken).toBe(3)
  })

  test('two that changed places are found at the first of them', () => {
    const found = verifiedAfter(() => {
      for (const [from, to] of [
        [3, 99],
        [4, 3],
        [99, 4],
      ]) {
        db.prepare('UPDATE bend SET id = ? WHERE id = ?').run(to, from)
        db.prepare('UPDATE raw SET bend_id = ? WHERE bend_id = ?').run(to, from)
      }
    })
    expect(found.firstBroken).toBe(3)
  })

  test('one put in at the end with a hash of its own is found there', () => {
    const found = verifiedAfter(() => {
      db.exec(`INSERT INTO bend SELECT ${BENDS + 1}, started_ms, part, lot, operator, verdict,
        setup_id, learned, record, previous_hash, hash FROM bend WHERE id = ${BENDS}`)
    })
    expect(found).toMatchObject({ intact: false, firstBroken: BENDS + 1, records: BENDS + 1 })
  })

  test('one put in before the first is found', () => {
    const found = verifiedAfter(() => db.exec('UPDATE bend SET id = -3 WHERE id = 2'))
    expect(found).toMatchObject({ intact: false, firstBroken: 1 })
  })

  test('all removed but their raw lines is found at the first', () => {
    const found = verifiedAfter(() => db.exec('DELETE FROM bend'))
    expect(found).toMatchObject({ records: 0, intact: false, firstBroken: 1 })
  })

  test('a set-up altered is found at the first bend that was made with it', () => {
    const found = verifiedAfter(() => db.exec("UPDATE setup SET setup = '{}' WHERE id = 1"))
    expect(found).toMatchObject({ intact: false, firstBroken: 1 })
    expect(found.why).toContain('set-up')
  })
})

describe('a tail cut off', () => {
  const cut = () => {
    db.exec('DELETE FROM bend WHERE id > 5')
    db.exec('DELETE FROM raw WHERE bend_id > 5')
  }

  test('cannot be seen from the history alone', () => {
    expect(verifiedAfter(cut)).toMatchObject({ records: 5, intact: true, head: heads[4] })
  })

  test('is seen against a head that was written down', () => {
    const found = verifiedAfter(cut, heads[5])
    expect(found).toMatchObject({ records: 5, intact: false, firstBroken: null })
    expect(found.why).toContain('cut off')
  })

  test('leaving the raw lines is seen anyway', () => {
    const found = verifiedAfter(() => db.exec('DELETE FROM bend WHERE id > 5'))
    expect(found).toMatchObject({ intact: false, firstBroken: 6 })
  })

  test('any earlier head is found in a history that only grew', () => {
    for (const head of heads) expect(verifiedAfter(() => undefined, head).intact).toBe(true)
  })

  test('a head that never was is not found', () => {
    expect(verifiedAfter(() => undefined, 'f'.repeat(64)).intact).toBe(false)
  })
})

test('steps give way again and again', () => {
  const other = makeFolder()
  fillShop(other.dir, 250)
  const long = new Database(other.file, { readonly: true })
  const steps = verifySteps(long)
  let turns = 0
  while (!steps.next().done) turns += 1
  expect(turns).toBeGreaterThanOrEqual(3)
  long.close()
  other.remove()
})

/** How often a check of the history in a folder gives way, and what ever SQLite is asked beside its tables. */
function stepsOf(history: History): { turns: number; asked: string[] } {
  const pragma = vi.spyOn(Database.prototype, 'pragma')
  const steps = history.verifySteps()
  let turns = 0
  let step = steps.next()
  for (; !step.done; step = steps.next()) turns += 1
  const asked = pragma.mock.calls.map(([source]) => source)
  pragma.mockRestore()
  expect(step.value).toMatchObject({ intact: true, why: null })
  return { turns, asked }
}

describe('beside a live angle', () => {
  const other = makeFolder()
  let history: History
  beforeAll(() => {
    history = openShop(other.dir)
  })
  afterAll(() => {
    history.close()
    other.remove()
  })

  test('no check of the whole file is made, which is one long step', () => {
    expect(stepsOf(history).asked.filter((source) => source.includes('check'))).toEqual([])
  })

  test('long raw lines are a few bends a step', () => {
    const { turns } = stepsOf(history)
    // Digits of no pattern, so that packing leaves half of them: 12 s at 200 Hz are some 50 kB.
    const lines = Array.from({ length: 2400 }, (_, i) =>
      createHash('sha256').update(`${i}`).digest('hex').slice(0, 40),
    )
    for (let n = 1; n <= 12; n += 1) history.append(newBend(n), { ...rawOf(n), lines })
    expect(stepsOf(history).turns - turns).toBeGreaterThanOrEqual(6)
  })

  test('a photo is a step of its own', () => {
    const { turns } = stepsOf(history)
    const about = {
      schema: 1,
      at: '2026-01-06T09:00:00.000+00:00',
      software: '0.1.0',
      kind: 'photo',
      who: 'Quality',
      caption: 'The mark.',
      bendId: 1,
    } as const
    for (let i = 0; i < 5; i += 1)
      history.addAct({
        ...about,
        ...history.addPhoto(Buffer.concat([EXAMPLE_PHOTO, Buffer.of(i)])),
      })
    expect(stepsOf(history).turns - turns).toBeGreaterThanOrEqual(5)
  })
})

test('bends recorded while it is checked are checked too, and no cause for alarm', () => {
  const other = makeFolder()
  fillShop(other.dir, 150)
  const history = openHistory(other.dir)
  const reader = new Database(other.file, { readonly: true })
  const steps = verifySteps(reader)
  let n = 150
  let step = steps.next()
  for (; !step.done; step = steps.next()) {
    if (n < 170) n += 1
    if (n < 170) history.append(newBend(n), rawOf(n))
  }
  const found = step.value
  expect(found).toMatchObject({ intact: true, why: null })
  expect(found.records).toBeGreaterThan(150)
  expect(found.head).toBe(history.bend(found.records)?.hash)
  reader.close()
  history.close()
  other.remove()
})

describe('a damaged file', () => {
  const damaged = makeFolder()
  afterAll(() => damaged.remove())
  const whole = join(damaged.dir, 'whole')

  test('any block of 4 KiB overwritten: verify finds it or the block was not in use', () => {
    fillShop(damaged.dir, 60)
    const before = verifyFolder(damaged.dir)
    copyFileSync(damaged.file, whole)
    const bytes = readFileSync(whole)
    let found = 0
    for (let at = 0; at < bytes.length; at += 4096) {
      writeFileSync(damaged.file, Buffer.from(bytes).fill(0xa5, at, at + 4096))
      const isFound = (() => {
        try {
          const verified = verifyFolder(damaged.dir)
          return !verified.intact || verified.head !== before.head
        } catch (error) {
          // The first block says whose file it is.
          expect(error).toMatchObject({ code: 'HISTORY_FOREIGN' })
          return true
        }
      })()
      if (isFound) found += 1
      else copyIsStillWhole()
    }
    expect(found).toBeGreaterThan((bytes.length / 4096) * 0.7)

    function copyIsStillWhole() {
      const again = openHistory(damaged.dir)
      expect(again.count()).toBe(60)
      expect([...Array(60)].map((_, i) => again.bend(i + 1)?.hash).at(-1)).toBe(before.head)
      again.close()
    }
  })

  test('too short to be opened is a finding, not an error', () => {
    copyFileSync(whole, damaged.file)
    truncateSync(damaged.file, 16_384)
    const verified = verifyFolder(damaged.dir)
    expect(verified).toMatchObject({ records: 0, intact: false, firstBroken: null })
    expect(verified.why).toContain('damaged')
  })

  test('a path that the disk cannot take is an error in one sentence', () => {
    const refusal = refusalOf(() => verifyFolder(join(damaged.dir, 'x'.repeat(300))))
    expect(refusal.code).toBe('HISTORY_BAD_PATH')
    expect(refusal.message).toMatch(/cannot be used \(ENAMETOOLONG\): look at the path/)
  })

  test('no history there at all is an error', () => {
    expect(refusalOf(() => verifyFolder(join(damaged.dir, 'nowhere'))).code).toBe('HISTORY_MISSING')
  })
})
