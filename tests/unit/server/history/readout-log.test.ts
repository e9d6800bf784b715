import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { fromCanonical } from '../../../../server/history/canonical.ts'
import { nextHash } from '../../../../server/history/chain-hash.ts'
import type { History } from '../../../../server/history/history.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { verifyFolder } from '../../../../server/history/reader.ts'
import { verifyNow } from '../../../../server/history/verify.ts'
import type { NewReadoutEntry } from '../../../../server/messages/readout.ts'
import {
  makeFolder,
  newBend,
  newCalibration,
  newCheck,
  newPiece,
  newSixPositions,
  openShop,
  rawOf,
  readoutOf,
  refusalOf,
  SETUP,
  tamper,
} from './shop.ts'

// Every append waits for the disk, and a busy one takes its time.
vi.setConfig({ testTimeout: 60_000 })

const { station } = SETUP
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

const addThree = () =>
  [newCalibration(), newPiece(), newCheck()].map((entry) => history.addReadoutEntry(entry))

describe('an entry', () => {
  test('comes back as it was given, numbered and chained, also after opening anew', () => {
    const entries = addThree()
    history.close()
    history = openHistory(dir)
    for (const [i, given] of [newCalibration(), newPiece(), newCheck()].entries()) {
      const { id, previousHash, hash, ...rest } = history.readoutEntry(i + 1)!
      expect(rest).toEqual(given)
      expect(id).toBe(i + 1)
      expect(previousHash).toBe(entries[i - 1]?.hash ?? '0'.repeat(64))
      expect(hash).toBe(entries[i]!.hash)
    }
    expect(history.readoutEntry(4)).toBeNull()
  })

  test('is hashed over the canonical text that stands in the file (RFC 8785)', () => {
    const [calibration] = addThree()
    const db = new Database(file, { readonly: true })
    const text = db.prepare<[], string>('SELECT record FROM readout_log').pluck().get()!
    db.close()
    expect(nextHash(Buffer.alloc(32), text).toString('hex')).toBe(calibration!.hash)
    expect(text).toContain('"turnUdeg":360123456')
    expect(text).not.toMatch(/\d\.\d*[1-9]\d*[,}\]]/)
    expect(fromCanonical(text)).toMatchObject({ id: 1, kind: 'calibration', turnDeg: 360.123456 })
  })

  test('of the axes comes back to the millionth of a g', () => {
    const given = newSixPositions({ x: { offsetG: -0.012345, unitG: 1.000001 } })
    const { id, previousHash, hash, ...rest } = history.addReadoutEntry(given)
    expect([id, previousHash, hash]).toEqual([1, '0'.repeat(64), expect.any(String)])
    expect(rest).toEqual(given)
    expect(history.readoutEntries({ station, kind: 'six-positions', limit: 9 })).toHaveLength(1)
  })

  test('has a sentence about what is wrong with it, and nothing is entered', () => {
    const wrong: readonly [Partial<NewReadoutEntry>, string][] = [
      [{ at: 'yesterday' }, 'at is no time'],
      [{ at: '2026-02-31T00:00:00Z' }, 'at is no time'],
      [{ who: '' }, '/who'],
      [{ station: 'x'.repeat(81) }, '/station'],
      [{ turnDeg: Number.NaN } as Partial<NewReadoutEntry>, '/turnDeg'],
      [{ colour: 'red' } as object, 'not be valid'],
      [{ kind: 'rumour' } as object, '/kind'],
    ]
    for (const [change, words] of wrong) {
      const entry = { ...newCalibration(), ...change } as NewReadoutEntry
      const { code, message } = refusalOf(() => history.addReadoutEntry(entry))
      expect(code).toBe('HISTORY_BAD_ENTRY')
      expect(message, words).toMatch(/^This cannot be entered in the readout log: .*\.$/)
    }
    expect(history.readoutEntry(1)).toBeNull()
  })

  test('is neither changed nor taken out nor put in between', () => {
    addThree()
    history.close()
    const db = new Database(file)
    for (const sql of [
      "UPDATE readout_log SET record = ''",
      'UPDATE readout_log SET id = 9 WHERE id = 3',
      'DELETE FROM readout_log',
      "INSERT INTO readout_log VALUES (9, 'check', 's', '{}', zeroblob(32), zeroblob(32))",
      "INSERT INTO readout_log VALUES (0, 'check', 's', '{}', zeroblob(32), zeroblob(32))",
      "INSERT OR REPLACE INTO readout_log VALUES (2, 'check', 's', '{}', zeroblob(32), zeroblob(32))",
    ])
      expect(() => db.exec(sql), sql).toThrow(/readout_log is append-only/)
    db.close()
    history = openHistory(dir)
  })
})

describe('the list', () => {
  test('is of one bender and one kind, newest first, a page at a time', () => {
    addThree()
    history.addReadoutEntry(newCalibration({ station: 'Other bender' }))
    history.addReadoutEntry(newCalibration({ who: 'Second' }))
    const ids = (more: { before?: number; limit?: number } = {}) =>
      history
        .readoutEntries({ station, kind: 'calibration', limit: 10, ...more })
        .map(({ id }) => id)
    expect(ids()).toEqual([5, 1])
    expect(ids({ limit: 1 })).toEqual([5])
    expect(ids({ before: 5 })).toEqual([1])
    expect(ids({ before: 1 })).toEqual([])
    expect(history.readoutEntries({ station, kind: 'check', limit: 9 })).toHaveLength(1)
    expect(history.readoutEntries({ station: 'nobody', kind: 'check', limit: 9 })).toEqual([])
  })
})

describe('verify', () => {
  /** What verify says after a person with a tool has changed the file. */
  function verifiedAfter(sql: string, ...values: unknown[]) {
    history.close()
    tamper(file, sql, ...values)
    const found = verifyFolder(dir)
    history = openHistory(dir)
    return found
  }

  test('an untouched log is intact, with its own head', () => {
    const entries = addThree()
    expect(history.verify()).toMatchObject({
      intact: true,
      why: null,
      readout: { entries: 3, firstBroken: null, head: entries[2]!.hash },
    })
  })

  test.each([
    ['record', `replace(record, '"Quality"', '"Someone"')`],
    ['record', "'{}'"],
    ['kind', "'rumour'"],
    ['station', "'Elsewhere'"],
    ['hash', 'zeroblob(32)'],
    ['previous_hash', 'randomblob(32)'],
  ])('an altered %s is found at that entry, and the bends stand', (column, value) => {
    addThree()
    history.append(newBend(1), rawOf(1))
    const found = verifiedAfter(`UPDATE readout_log SET ${column} = ${value} WHERE id = 2`)
    expect(found).toMatchObject({ records: 1, intact: false, firstBroken: null })
    expect(found.readout).toMatchObject({ entries: 1, firstBroken: 2 })
    expect(found.why).toMatch(/^Entry 2 of the readout log .*\.$/)
  })

  test.each([1, 2])('entry %d taken out is found there', (id) => {
    addThree()
    const found = verifiedAfter('DELETE FROM readout_log WHERE id = ?', id)
    expect(found.readout.firstBroken).toBe(id)
    expect(found.why).toContain('missing')
  })

  test('a whole log taken away is found', () => {
    addThree()
    history.close()
    tamper(file, 'DROP TABLE readout_log')
    expect(verifyFolder(dir)).toMatchObject({ intact: false, why: 'The readout log is gone.' })
    tamper(file, 'CREATE TABLE readout_log (id, kind, station, record, previous_hash, hash)')
    history = openHistory(dir)
  })

  test('a tail cut off, or written anew, shows in the bend that names it', () => {
    const [calibration, , check] = addThree()
    const readout = readoutOf(calibration!, check!)
    history.append(newBend(1, { readout }), rawOf(1))
    expect(history.verify().intact).toBe(true)
    const found = verifiedAfter('DELETE FROM readout_log WHERE id = 3')
    expect(found).toMatchObject({ intact: false, firstBroken: 1, readout: { firstBroken: null } })
    expect(found.why).toContain('readout log')
    history.addReadoutEntry(newCheck({ who: 'Another' }))
    expect(history.verify()).toMatchObject({ intact: false, firstBroken: 1 })
  })
})

test('a backup holds the log, and so does what is restored from it', async () => {
  const entries = addThree()
  const copy = `${dir}/copy.sqlite`
  await history.backup(copy)
  const db = new Database(copy, { readonly: true })
  expect(verifyNow(db).readout).toEqual({ entries: 3, firstBroken: null, head: entries[2]!.hash })
  db.close()
})

test('a backup of a history whose log was altered is refused', async () => {
  addThree()
  history.close()
  tamper(file, "UPDATE readout_log SET station = 'x' WHERE id = 1")
  history = openHistory(dir)
  await expect(history.backup(`${dir}/copy.sqlite`)).rejects.toMatchObject({
    code: 'HISTORY_NOT_INTACT',
  })
})
