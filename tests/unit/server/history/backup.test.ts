import { createHash } from 'node:crypto'
import {
  appendFileSync,
  chmodSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { backUp } from '../../../../server/history/backup.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { verifyFolder } from '../../../../server/history/reader.ts'
import { restoreBeside, restoreHistory } from '../../../../server/history/restore.ts'
import {
  FIXED_MS,
  fillShop,
  lateRefusalOf,
  makeFolder,
  newBend,
  openShop,
  rawOf,
  refusalOf,
  SETUP,
  tamper,
} from './shop.ts'

// Every append waits for the disk, and a busy one takes its time.
vi.setConfig({ testTimeout: 60_000 })

let dir: string
let file: string
let remove: () => void
/** Where backups go. */
let shelf: string
let backup: string

beforeEach(() => {
  ;({ dir, file, remove } = makeFolder())
  shelf = mkdtempSync(join(tmpdir(), 'overbend-shelf-'))
  backup = join(shelf, 'backup.sqlite')
})
afterEach(() => {
  remove()
  rmSync(shelf, { recursive: true, force: true })
})

const sha256 = (path: string) => createHash('sha256').update(readFileSync(path)).digest('hex')

describe('a backup', () => {
  test('is one file, checked, with the hash that is told', async () => {
    openShop(dir, 5).close()
    expect(await backUp(dir, backup)).toEqual({ records: 5, sha256: sha256(backup) })
    expect(readdirSync(shelf)).toEqual(['backup.sqlite'])
  })

  test('holds everything: bends, raw lines, set-ups, notes and the open bend', async () => {
    const history = openShop(dir, 3)
    history.remember('job', { part: 'Rail' })
    const open = {
      startedAt: '2026-01-05T08:00:00Z',
      setupId: 1,
      job: newBend(1).job,
      simulated: true,
    }
    history.openBend(open)
    await history.backup(backup)
    const bends = [1, 2, 3].map((id) => history.bend(id))
    history.close()
    const place = join(shelf, 'place')
    await restoreHistory(place, backup)
    const restored = openHistory(place)
    expect([1, 2, 3].map((id) => restored.bend(id))).toEqual(bends)
    expect(restored.raw(3)).toEqual(rawOf(3))
    expect(restored.setups()).toHaveLength(1)
    expect(restored.recall('job')).toEqual({ part: 'Rail' })
    expect(restored.leftOpen()).toEqual(open)
    restored.append(newBend(4), rawOf(4))
    expect(restored.verify()).toMatchObject({ records: 4, intact: true })
    restored.close()
  })

  test('of an empty history is an empty history', async () => {
    openHistory(dir).close()
    expect(await backUp(dir, backup)).toMatchObject({ records: 0 })
  })

  test('while bends are recorded is of one moment, and none is lost', async () => {
    fillShop(dir, 400)
    const history = openHistory(dir)
    const pending = history.backup(backup)
    let isDone = false
    const done = pending.finally(() => {
      isDone = true
    })
    let n = 400
    while (!isDone) {
      n += 1
      history.append(newBend(n), rawOf(n))
      await new Promise((resolve) => setImmediate(resolve))
    }
    const { records } = await done
    expect(n).toBeGreaterThan(402)
    expect(records).toBeGreaterThanOrEqual(400)
    expect(records).toBeLessThanOrEqual(n)
    expect(history.verify()).toMatchObject({ records: n, intact: true })
    history.close()
    const place = join(shelf, 'place')
    await restoreHistory(place, backup)
    expect(verifyFolder(place)).toMatchObject({ records, intact: true })
  })

  test('can be checked where nothing can be written, since it has no log', async () => {
    openShop(dir, 2).close()
    await backUp(dir, backup)
    const db = new Database(backup, { readonly: true })
    expect(db.pragma('journal_mode', { simple: true })).toBe('delete')
    db.close()
  })
})

describe('a backup is refused', () => {
  test('over a file that is there, unless told to', async () => {
    openShop(dir, 2).close()
    writeFileSync(backup, 'dear')
    expect((await lateRefusalOf(backUp(dir, backup))).code).toBe('HISTORY_EXISTS')
    expect(readFileSync(backup, 'utf8')).toBe('dear')
    expect(await backUp(dir, backup, { mayReplace: true })).toMatchObject({ records: 2 })
    expect(sha256(backup)).not.toBe(createHash('sha256').update('dear').digest('hex'))
  })

  test("over the history's own files, whatever is told", async () => {
    openShop(dir, 2).close()
    for (const own of ['overbend.sqlite', 'overbend.sqlite-wal', 'overbend.lock', 'overbend.pid']) {
      const refusal = await lateRefusalOf(backUp(dir, join(dir, own), { mayReplace: true }))
      expect(refusal.code).toBe('HISTORY_NOT_REPLACED')
    }
    symlinkSync(dir, join(shelf, 'link'))
    const round = join(shelf, 'link', 'overbend.sqlite')
    expect((await lateRefusalOf(backUp(dir, round, { mayReplace: true }))).code).toBe(
      'HISTORY_NOT_REPLACED',
    )
    expect(verifyFolder(dir)).toMatchObject({ records: 2, intact: true })
  })

  describe('over what is never written over, whatever is told', () => {
    const told = { mayReplace: true }

    test('the history of another folder, in use or not, and what stands beside it', async () => {
      openShop(dir, 2).close()
      const other = join(shelf, 'other')
      openShop(other, 3).close()
      writeFileSync(join(other, 'overbend-private.pem'), 'the key')
      for (const name of ['overbend.sqlite', 'overbend-private.pem']) {
        const refusal = await lateRefusalOf(backUp(dir, join(other, name), told))
        expect(refusal.code).toBe('HISTORY_NOT_REPLACED')
        expect(refusal.message).not.toContain('--replace')
      }
      expect(verifyFolder(other)).toMatchObject({ records: 3, intact: true })
    })

    test('a history that was recorded to, under any name', async () => {
      openShop(dir, 2).close()
      copyFileSync(file, backup)
      expect((await lateRefusalOf(backUp(dir, backup, told))).code).toBe('HISTORY_NOT_REPLACED')
      expect(readFileSync(backup).equals(readFileSync(file))).toBe(true)
    })

    test.each(['-wal', '-journal'])(
      'a name beside which the %s of another file lies',
      async (side) => {
        openShop(dir, 2).close()
        writeFileSync(`${backup}${side}`, 'what somebody wrote')
        expect((await lateRefusalOf(backUp(dir, backup, told))).code).toBe('HISTORY_NOT_REPLACED')
        const beside = join(dir, 'beside')
        mkdirSync(beside)
        writeFileSync(join(beside, `old.sqlite${side}`), 'what somebody wrote')
        const good = join(shelf, 'good.sqlite')
        await backUp(dir, good)
        expect((await lateRefusalOf(restoreBeside(dir, good, 'old'))).code).toBe('HISTORY_TAKEN')
      },
    )

    test('an archive', async () => {
      openShop(dir, 2).close()
      await backUp(dir, backup)
      chmodSync(backup, 0o444)
      expect((await lateRefusalOf(backUp(dir, backup, told))).message).toContain('read-only')
      chmodSync(backup, 0o644)
      expect(await backUp(dir, backup, told)).toMatchObject({ records: 2 })
    })
  })

  test('where there is no history, or no folder for it', async () => {
    expect((await lateRefusalOf(backUp(join(dir, 'nowhere'), backup))).code).toBe('HISTORY_MISSING')
    openShop(dir, 1).close()
    const refusal = await lateRefusalOf(backUp(dir, join(shelf, 'no', 'folder')))
    expect(refusal.message).toContain(join(shelf, 'no', 'folder'))
    expect(readdirSync(shelf)).toEqual([])
  })

  test('of a history that is not intact, leaving nothing behind', async () => {
    openShop(dir, 4).close()
    tamper(file, "UPDATE bend SET operator = 'x' WHERE id = 2")
    const refusal = await lateRefusalOf(backUp(dir, backup))
    expect(refusal.code).toBe('HISTORY_NOT_INTACT')
    expect(refusal.message).toContain('Record 2')
    expect(readdirSync(shelf)).toEqual([])
  })

  test('by a history that was closed', async () => {
    const history = openShop(dir, 1)
    history.close()
    expect((await lateRefusalOf(history.backup(backup))).code).toBe('HISTORY_CLOSED')
  })
})

describe('a restore', () => {
  test('into an empty place gives the same records, head and hash', async () => {
    openShop(dir, 5).close()
    const told = await backUp(dir, backup)
    const place = join(shelf, 'a', 'place')
    expect(await restoreHistory(place, backup)).toEqual({
      ...told,
      keptAside: null,
      asideChecked: null,
    })
    expect(readdirSync(place).sort()).toEqual(['overbend.lock', 'overbend.sqlite'])
    expect(verifyFolder(place)).toEqual(verifyFolder(dir))
  })

  test('never overwrites a history that is there', async () => {
    openShop(dir, 5).close()
    await backUp(dir, backup)
    const refusal = await lateRefusalOf(restoreHistory(dir, backup))
    expect(refusal.code).toBe('HISTORY_EXISTS')
    expect(refusal.message).toContain('--replace')
  })

  test('told to replace, keeps the old one aside under a dated name', async () => {
    openShop(dir, 2).close()
    await backUp(dir, backup)
    const history = openHistory(dir)
    history.append(newBend(3), rawOf(3))
    history.close()
    const { records, keptAside } = await restoreHistory(dir, backup, {
      mayReplace: true,
      wallMs: () => FIXED_MS,
    })
    expect(records).toBe(2)
    expect(keptAside).toMatch(/overbend-replaced-2026-01-0\dT[^.:]*\.sqlite$/)
    expect(verifyFolder(dir)).toMatchObject({ records: 2, intact: true })
    const old = join(shelf, 'old')
    await restoreHistory(old, keptAside!)
    expect(verifyFolder(old)).toMatchObject({ records: 3, intact: true })
  })

  test('over one that a crash left with a log keeps what stood in the log', async () => {
    const crashed = join(shelf, 'crashed')
    mkdirSync(crashed)
    const history = openShop(dir, 3)
    await history.backup(backup)
    history.append(newBend(4), rawOf(4))
    for (const name of ['overbend.sqlite', 'overbend.sqlite-wal'])
      copyFileSync(join(dir, name), join(crashed, name))
    history.close()
    const { keptAside } = await restoreHistory(crashed, backup, { mayReplace: true })
    expect(verifyFolder(crashed)).toMatchObject({ records: 3, intact: true })
    const old = join(shelf, 'old')
    await restoreHistory(old, keptAside!)
    expect(verifyFolder(old)).toMatchObject({ records: 4, intact: true })
  })

  test.each<[string, (path: string) => void]>([
    ['empty', (path) => writeFileSync(path, '')],
    ['foreign', (path) => writeFileSync(path, 'text '.repeat(1000))],
    ['truncated', (path) => truncateSync(path, 16_384)],
  ])('over a history that is %s works, and keeps that aside', async (_, spoil) => {
    openShop(dir, 3).close()
    await backUp(dir, backup)
    spoil(file)
    const spoilt = readFileSync(file)
    const { keptAside } = await restoreHistory(dir, backup, { mayReplace: true })
    expect(readFileSync(keptAside!).equals(spoilt)).toBe(true)
    expect(verifyFolder(dir)).toMatchObject({ records: 3, intact: true })
  })

  test('into a folder where only a log is left works, and keeps that aside', async () => {
    openShop(dir, 3).close()
    await backUp(dir, backup)
    rmSync(file)
    writeFileSync(`${file}-wal`, 'a log')
    expect((await lateRefusalOf(restoreHistory(dir, backup))).code).toBe('HISTORY_EXISTS')
    const { keptAside } = await restoreHistory(dir, backup, { mayReplace: true })
    expect(readFileSync(`${keptAside}-wal`, 'utf8')).toBe('a log')
    expect(verifyFolder(dir)).toMatchObject({ records: 3, intact: true })
  })

  test('of a file cleanly closed and copied by hand is accepted', async () => {
    openShop(dir, 3).close()
    copyFileSync(file, backup)
    expect(await restoreHistory(join(shelf, 'place'), backup)).toMatchObject({ records: 3 })
    expect(readdirSync(shelf).sort()).toEqual(['backup.sqlite', 'place'])
  })
})

describe('a restore is refused, and the folder left as it was', () => {
  async function refused(from: string): Promise<string> {
    openShop(dir, 2).close()
    const before = readFileSync(file)
    const { code } = await lateRefusalOf(restoreHistory(dir, from, { mayReplace: true }))
    expect(readFileSync(file).equals(before)).toBe(true)
    expect(readdirSync(dir).sort()).toEqual(['overbend.lock', 'overbend.sqlite'])
    openHistory(dir).close()
    return code
  }

  async function goodBackup(): Promise<void> {
    const other = makeFolder()
    openShop(other.dir, 6).close()
    await backUp(other.dir, backup)
    other.remove()
  }

  test('a file that is not there', async () => {
    expect(await refused(backup)).toBe('HISTORY_MISSING')
  })

  test('a folder', async () => {
    expect(await refused(shelf)).toMatch(/^HISTORY_/)
  })

  test('an empty file', async () => {
    writeFileSync(backup, '')
    expect(await refused(backup)).toBe('HISTORY_NOT_INTACT')
  })

  test('text', async () => {
    writeFileSync(backup, 'no history '.repeat(1000))
    expect(await refused(backup)).toBe('HISTORY_FOREIGN')
  })

  test('another SQLite file', async () => {
    new Database(backup).exec('CREATE TABLE bend (id)').close()
    expect(await refused(backup)).toBe('HISTORY_FOREIGN')
  })

  test('a newer schema', async () => {
    await goodBackup()
    const db = new Database(backup)
    db.pragma('user_version = 99')
    db.close()
    expect(await refused(backup)).toBe('HISTORY_NEWER')
  })

  test('one altered record', async () => {
    await goodBackup()
    tamper(backup, "UPDATE bend SET record = replace(record, 'accepted', 'dropped') WHERE id = 5")
    expect(await refused(backup)).toBe('HISTORY_NOT_INTACT')
  })

  test('a live file copied by hand with its log', async () => {
    await goodBackup()
    appendFileSync(`${backup}-wal`, 'x')
    expect(await refused(backup)).toBe('HISTORY_NOT_INTACT')
  })

  test('truncated at every 8 KiB', async () => {
    await goodBackup()
    const whole = readFileSync(backup)
    openShop(dir, 2).close()
    for (let bytes = 0; bytes < whole.length; bytes += 8192) {
      writeFileSync(backup, whole.subarray(0, bytes))
      const refusal = await lateRefusalOf(restoreHistory(dir, backup, { mayReplace: true }))
      expect(refusal.code, `${bytes} bytes`).toBe('HISTORY_NOT_INTACT')
      // Of the file that was given, and no advice to restore to one who restores.
      expect(refusal.message).toContain(backup)
      expect(refusal.message).not.toContain('restore')
    }
    expect(verifyFolder(dir)).toMatchObject({ records: 2, intact: true })
  })

  test('a folder that a daemon holds', async () => {
    await goodBackup()
    const daemon = openShop(dir, 2)
    const refusal = await lateRefusalOf(restoreHistory(dir, backup, { mayReplace: true }))
    expect(refusal.code).toBe('HISTORY_IN_USE')
    expect(refusal.message).toContain(`process ${process.pid}`)
    expect(daemon.append(newBend(3), rawOf(3)).id).toBe(3)
    daemon.close()
  })

  test('a folder where something else is a file of that name', async () => {
    await goodBackup()
    const plain = join(shelf, 'plain')
    writeFileSync(plain, 'x')
    expect((await lateRefusalOf(restoreHistory(plain, backup))).message).toContain(plain)
    expect(existsSync(plain)).toBe(true)
  })
})

test('set-ups and folder stay usable while a backup is being checked', async () => {
  fillShop(dir, 300)
  const history = openHistory(dir)
  const pending = history.backup(backup)
  expect(history.addSetup({ ...SETUP, station: 'Other' }).id).toBe(2)
  expect(refusalOf(() => openHistory(dir)).code).toBe('HISTORY_IN_USE')
  await pending
  history.close()
})
