import {
  copyFileSync,
  cpSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { backUp } from '../../../../server/history/backup.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { openReader, verifyFolder } from '../../../../server/history/reader.ts'
import { restoreBeside, restoreHistory } from '../../../../server/history/restore.ts'
import { fillShop, lateRefusalOf, makeFolder, newBend, openShop, rawOf, tamper } from './shop.ts'

// Every step of a restore is checked record by record.
vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 })

const MEGABYTE = 1024 * 1024
/** Lines that do not pack well, as many as a bend has. */
const bulky = (n: number) => ({
  ...rawOf(n),
  lines: Array.from({ length: 2000 }, (_, i) => `${Math.sin(i * n)}`),
})
const BULKY_BENDS = 120
const THERE_BENDS = 5

const shelf = mkdtempSync(join(tmpdir(), 'overbend-shelf-'))
const backup = join(shelf, 'backup.sqlite')
let dir: string
let file: string
let remove: () => void

beforeAll(async () => {
  fillShop(join(shelf, 'bulky'), BULKY_BENDS, {}, bulky)
  await backUp(join(shelf, 'bulky'), backup)
  return () => rmSync(shelf, { recursive: true, force: true })
})
beforeEach(() => {
  ;({ dir, file, remove } = makeFolder())
})
afterEach(() => remove())

const fault = () => Object.assign(new Error('as the disk says'), { code: 'EIO' })

/** The folder at each step of a restore, as a process that dies there would leave it. */
async function foldersAtEachStep(): Promise<{ step: string; folder: string }[]> {
  const folders: { step: string; folder: string }[] = []
  await restoreHistory(dir, backup, {
    mayReplace: true,
    atStep: (step) => {
      const folder = mkdtempSync(join(shelf, 'step-'))
      cpSync(dir, folder, { recursive: true })
      folders.push({ step, folder })
    },
  })
  return folders
}

describe('a restore that ends at any step', () => {
  test('the history is of some megabytes, and each of them is a step', async () => {
    const steps = (await foldersAtEachStep()).map(({ step }) => step)
    const megabytes = Math.ceil(statSync(backup).size / MEGABYTE)
    expect(megabytes).toBeGreaterThanOrEqual(3)
    const after = ['flushed', 'checked', 'set aside', 'renamed']
    expect(steps).toEqual([...Array(megabytes).fill('copied'), ...after])
  })

  test('by dying, into an empty place: nothing or everything is there', async () => {
    for (const { step, folder } of await foldersAtEachStep()) {
      if (step === 'renamed')
        expect(verifyFolder(folder)).toMatchObject({ records: BULKY_BENDS, intact: true })
      else expect(existsSync(join(folder, 'overbend.sqlite')), step).toBe(false)
      const history = openHistory(folder)
      expect([0, BULKY_BENDS]).toContain(history.count())
      history.close()
    }
  })

  test('by dying, over a history: one or the other is in force, whole, and none is lost', async () => {
    openShop(dir, THERE_BENDS).close()
    for (const { step, folder } of await foldersAtEachStep()) {
      const inForce = step === 'renamed' ? BULKY_BENDS : THERE_BENDS
      expect(verifyFolder(folder), step).toMatchObject({ records: inForce, intact: true })
      const history = openHistory(folder)
      expect(history.append(newBend(inForce + 1), rawOf(1)).id).toBe(inForce + 1)
      history.close()
      const aside = readdirSync(folder).find((name) => name.startsWith('overbend-replaced-'))
      expect(aside !== undefined, step).toBe(step === 'set aside' || step === 'renamed')
      const found = aside === undefined ? null : verifyFolder(join(folder, aside))
      if (step === 'renamed') expect(found).toMatchObject({ records: THERE_BENDS, intact: true })
    }
  })

  test('by a fault of the disk: the folder is as it was, and the next try succeeds', async () => {
    openShop(dir, THERE_BENDS).close()
    const before = readFileSync(file)
    const steps = Math.ceil(statSync(backup).size / MEGABYTE) + 3
    for (let last = 1; last <= steps; last += 1) {
      let step = 0
      const failing = restoreHistory(dir, backup, {
        mayReplace: true,
        atStep: () => {
          step += 1
          if (step === last) throw fault()
        },
      })
      expect((await lateRefusalOf(failing)).code).toBe('HISTORY_DISK_FAULT')
      expect(readFileSync(file).equals(before), `step ${last}`).toBe(true)
      expect(existsSync(join(dir, 'overbend.sqlite.unfinished'))).toBe(false)
    }
    expect((await restoreHistory(dir, backup, { mayReplace: true })).records).toBe(BULKY_BENDS)
  })
})

describe('a restore over a history', () => {
  test('tells where the one before is, and what was found in it', async () => {
    openShop(dir, THERE_BENDS).close()
    const { keptAside, asideChecked } = await restoreHistory(dir, backup, { mayReplace: true })
    expect(asideChecked?.records).toBe(THERE_BENDS)
    expect(verifyFolder(keptAside ?? '')).toMatchObject({ records: THERE_BENDS, intact: true })
    expect(verifyFolder(dir)).toMatchObject({ records: BULKY_BENDS, intact: true })
  })

  test('that was tampered with keeps it, and does not call it intact', async () => {
    openShop(dir, THERE_BENDS).close()
    tamper(file, "UPDATE bend SET operator = 'x' WHERE id = 2")
    const { keptAside, asideChecked } = await restoreHistory(dir, backup, { mayReplace: true })
    expect(asideChecked).toBeNull()
    expect(verifyFolder(keptAside ?? '')).toMatchObject({ records: THERE_BENDS, firstBroken: 2 })
  })

  test('that somebody reads just now is refused, since its log cannot be folded in', async () => {
    openShop(dir, THERE_BENDS).close()
    const reader = new Database(file)
    reader.exec('BEGIN')
    reader.prepare('SELECT count(*) FROM bend').get()
    const history = openHistory(dir)
    history.append(newBend(THERE_BENDS + 1), rawOf(1))
    history.close()
    const refusal = await lateRefusalOf(restoreHistory(dir, backup, { mayReplace: true }))
    expect(refusal.code).toBe('HISTORY_BUSY')
    reader.exec('COMMIT')
    reader.close()
    expect(verifyFolder(dir)).toMatchObject({ records: THERE_BENDS + 1, intact: true })
    const { asideChecked } = await restoreHistory(dir, backup, { mayReplace: true })
    expect(asideChecked?.records).toBe(THERE_BENDS + 1)
  })
})

describe('a restore beside a history', () => {
  const besideFile = () => join(dir, 'beside', 'old-shop.sqlite')

  test('leaves the running one to record on, and both are verified and searched', async () => {
    const history = openShop(dir, THERE_BENDS)
    const restored = await restoreBeside(dir, backup, 'old-shop')
    expect(restored).toMatchObject({ records: BULKY_BENDS, file: besideFile() })
    expect(history.append(newBend(THERE_BENDS + 1), rawOf(1)).id).toBe(THERE_BENDS + 1)
    history.close()
    expect(verifyFolder(dir)).toMatchObject({ records: THERE_BENDS + 1, intact: true })
    expect(verifyFolder(besideFile()).head).toBe(verifyFolder(join(shelf, 'bulky')).head)
    const reader = openReader(besideFile())
    expect([...reader.bends({ part: 'Rail' })]).toHaveLength(BULKY_BENDS / 2)
    reader.close()
    expect(readdirSync(join(dir, 'beside'))).toEqual(['old-shop.sqlite'])
  })

  test('is marked read-only and needs no log, also if it was a live file cleanly closed', async () => {
    openShop(dir, 2).close()
    const live = join(shelf, 'live.sqlite')
    copyFileSync(file, live)
    await restoreBeside(dir, live, 'old-shop')
    expect(statSync(besideFile()).mode & 0o222).toBe(0)
    const db = new Database(besideFile(), { readonly: true })
    expect(db.pragma('journal_mode', { simple: true })).toBe('delete')
    db.close()
  })

  test('never takes the place of one that is there', async () => {
    await restoreBeside(dir, backup, 'old-shop')
    const before = readFileSync(besideFile())
    expect((await lateRefusalOf(restoreBeside(dir, backup, 'old-shop'))).code).toBe('HISTORY_TAKEN')
    expect(readFileSync(besideFile()).equals(before)).toBe(true)
  })

  test.each(['', '..', '../up', 'a/b', '.hidden', 'ä', 'x'.repeat(61), 'a\u0000b'])(
    'under the name %j is refused',
    async (name) => {
      const refusal = await lateRefusalOf(restoreBeside(dir, backup, name))
      expect(refusal.code).toBe('HISTORY_BAD_PATH')
      expect(readdirSync(dir)).toEqual([])
    },
  )

  test('of what is no intact history leaves nothing behind', async () => {
    const text = join(shelf, 'text.sqlite')
    writeFileSync(text, 'no history '.repeat(1000))
    expect((await lateRefusalOf(restoreBeside(dir, text, 'old-shop'))).code).toBe('HISTORY_FOREIGN')
    expect(readdirSync(join(dir, 'beside'))).toEqual([])
  })
})

test('a backup of a backup is made, and never over itself', async () => {
  const again = join(shelf, 'again.sqlite')
  expect(await backUp(backup, again)).toMatchObject({ records: BULKY_BENDS })
  const refusal = await lateRefusalOf(backUp(backup, backup, { mayReplace: true }))
  expect(refusal.code).toBe('HISTORY_NOT_REPLACED')
})
