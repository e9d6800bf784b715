/**
 * A file that has no log is written to by way of a journal (https://sqlite.org/atomiccommit.html): whoever dies in
 * the middle leaves both, and only one who may write can go back to what was there before.
 */
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { backUp, leaveWal } from '../../../../server/history/backup.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { openReader, verifyFolder } from '../../../../server/history/reader.ts'
import { restoreHistory } from '../../../../server/history/restore.ts'
import { lateRefusalOf, makeFolder, newBend, openShop, rawOf, refusalOf } from './shop.ts'

const BENDS = 40

let dir: string
let remove: () => void
beforeEach(() => {
  ;({ dir, remove } = makeFolder())
})
afterEach(() => remove())

/** Takes the files away while half of a write is on the disk, as a process that dies there leaves them. */
function leaveInMidWrite(of: string, as: string): void {
  const db = new Database(of)
  db.pragma('cache_size = 1')
  db.exec('DROP TRIGGER bend_never_changes; BEGIN; UPDATE bend SET operator = operator || operator')
  copyFileSync(of, as)
  copyFileSync(`${of}-journal`, `${as}-journal`)
  db.exec('ROLLBACK')
  db.close()
}

/** A folder whose history, of a version that restored it without a log, was left so. */
function folderInMidWrite(): string {
  openShop(join(dir, 'whole'), BENDS).close()
  const whole = join(dir, 'whole', 'overbend.sqlite')
  leaveWal(whole)
  const left = join(dir, 'left')
  mkdirSync(left)
  leaveInMidWrite(whole, join(left, 'overbend.sqlite'))
  return left
}

describe('a history that was left in the middle of a write', () => {
  test('would be another one without what its journal holds', () => {
    const left = folderInMidWrite()
    rmSync(join(left, 'overbend.sqlite-journal'))
    expect(verifyFolder(left).intact).toBe(false)
  })

  test('is read as it was before that write, by whoever comes first', () => {
    expect(verifyFolder(folderInMidWrite())).toMatchObject({ records: BENDS, intact: true })
  })

  test('is searched and goes on', () => {
    const left = folderInMidWrite()
    const reader = openReader(left)
    expect([...reader.bends({})]).toHaveLength(BENDS)
    reader.close()
    const history = openHistory(left)
    expect(history.append(newBend(BENDS + 1), rawOf(1)).id).toBe(BENDS + 1)
    expect(history.verify()).toMatchObject({ records: BENDS + 1, intact: true })
    history.close()
    expect(existsSync(join(left, 'overbend.sqlite-journal'))).toBe(false)
  })
})

test('a new history is written to by way of its log before it has its name', () => {
  const names: string[][] = []
  const { pragma } = Database.prototype
  const spy = vi.spyOn(Database.prototype, 'pragma').mockImplementation(function (
    this: Database.Database,
    ...asked
  ) {
    const answer: unknown = pragma.apply(this, asked)
    if (asked[0] === 'journal_mode = WAL') names.push([String(answer), ...readdirSync(dir)])
    return answer
  })
  openHistory(dir).close()
  spy.mockRestore()
  const [first = []] = names
  expect(first).toContain('wal')
  expect(first).toContain('overbend.sqlite.unfinished')
  expect(first).not.toContain('overbend.sqlite')
})

describe('a restore', () => {
  const backup = () => join(dir, 'backup.sqlite')
  const journalOf = (of: string) => `${of}-journal`
  beforeEach(async () => {
    openShop(join(dir, 'shop'), 3).close()
    await backUp(join(dir, 'shop'), backup())
  })

  test('puts a file in place that is written to by way of its log from the first moment on', async () => {
    const place = join(dir, 'place')
    // https://sqlite.org/fileformat.html: the write and read version at 18 and 19 are 2 then, else 1.
    const versions: Buffer[] = []
    await restoreHistory(place, backup(), {
      atStep: (step) => {
        const restored = join(place, 'overbend.sqlite')
        if (step === 'renamed') versions.push(readFileSync(restored).subarray(18, 20))
      },
    })
    expect(readFileSync(backup()).subarray(18, 20)).toEqual(Buffer.from([1, 1]))
    expect(versions).toEqual([Buffer.from([2, 2])])
  })

  test('over such a history keeps it as it was before that write', async () => {
    const left = folderInMidWrite()
    const restored = await restoreHistory(left, backup(), { mayReplace: true })
    expect(restored.asideChecked?.records).toBe(BENDS)
    expect(verifyFolder(restored.keptAside ?? '')).toMatchObject({ records: BENDS, intact: true })
    expect(verifyFolder(left)).toMatchObject({ records: 3, intact: true })
  })

  test('over a damaged history keeps what its journal holds beside it, and away from the new one', async () => {
    const left = folderInMidWrite()
    const there = join(left, 'overbend.sqlite')
    const journal = readFileSync(journalOf(there))
    rmSync(there)
    const { keptAside } = await restoreHistory(left, backup(), { mayReplace: true })
    expect(readFileSync(journalOf(keptAside ?? '')).equals(journal)).toBe(true)
    expect(verifyFolder(left)).toMatchObject({ records: 3, intact: true })
  })

  test('of a backup that was left so is refused: the journal is not part of it', async () => {
    const left = join(folderInMidWrite(), 'overbend.sqlite')
    const refusal = await lateRefusalOf(restoreHistory(join(dir, 'place'), left))
    expect(refusal.code).toBe('HISTORY_NOT_INTACT')
  })

  test('is not spoilt by the journal of one that was broken off', async () => {
    const place = join(dir, 'place')
    const journal = journalOf(join(folderInMidWrite(), 'overbend.sqlite'))
    mkdirSync(place)
    copyFileSync(journal, join(place, 'overbend.sqlite.unfinished-journal'))
    await restoreHistory(place, backup())
    expect(verifyFolder(place)).toMatchObject({ records: 3, intact: true })
    expect(readdirSync(place).filter((name) => name.includes('unfinished'))).toEqual([])
  })
})

test('a history of which only a journal is left is no empty place for a new one', () => {
  const left = folderInMidWrite()
  rmSync(join(left, 'overbend.sqlite'))
  expect(refusalOf(() => openHistory(left)).code).toBe('HISTORY_CORRUPT')
})

test('a file of another program that was left so is refused, and not written to', () => {
  const theirs = join(dir, 'theirs')
  mkdirSync(theirs)
  const whole = join(dir, 'whole.sqlite')
  const db = new Database(whole)
  db.exec(
    'CREATE TABLE bend (operator TEXT); CREATE TRIGGER bend_never_changes BEFORE UPDATE ON bend BEGIN SELECT 1; END',
  )
  const insert = db.prepare('INSERT INTO bend VALUES (?)')
  for (let row = 0; row < 2000; row += 1) insert.run('x'.repeat(50))
  db.close()
  leaveInMidWrite(whole, join(theirs, 'overbend.sqlite'))
  const before = readFileSync(join(theirs, 'overbend.sqlite'))
  expect(refusalOf(() => openReader(theirs)).message).toContain(theirs)
  expect(readFileSync(join(theirs, 'overbend.sqlite')).equals(before)).toBe(true)
  expect(existsSync(join(theirs, 'overbend.sqlite-journal'))).toBe(true)
})
