import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { backUp } from '../../../../server/history/backup.ts'
import { HistoryError } from '../../../../server/history/errors.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { openReader, verifyFolder } from '../../../../server/history/reader.ts'
import { restoreBeside, restoreHistory } from '../../../../server/history/restore.ts'
import { makeFolder, newBend, openShop, rawOf, tamper } from './shop.ts'

vi.setConfig({ testTimeout: 120_000 })

const shelf = mkdtempSync(join(tmpdir(), 'overbend-shelf-'))
let whole: Buffer
beforeAll(() => {
  const made = makeFolder()
  openShop(made.dir, 6).close()
  whole = readFileSync(made.file)
  made.remove()
})
afterAll(() => rmSync(shelf, { recursive: true, force: true }))

let dir: string
let file: string
let remove: () => void
beforeEach(() => {
  ;({ dir, file, remove } = makeFolder())
})
afterEach(() => remove())

/** Every way into a history. Each is tried on the same bad file. */
const WAYS = {
  open: () => openHistory(dir).close(),
  read: () => openReader(dir).close(),
  backup: () => backUp(dir, join(shelf, 'backup.sqlite')),
  restore: () => restoreHistory(join(shelf, 'place'), file),
  beside: () => restoreBeside(join(shelf, 'place'), file, 'old'),
} as const satisfies Record<string, () => unknown>

async function refusal(way: keyof typeof WAYS): Promise<HistoryError> {
  try {
    await WAYS[way]()
  } catch (error) {
    if (error instanceof HistoryError) return error
    throw error
  }
  throw new Error(`${way} took it.`)
}

const ONE_SENTENCE = /^[^\n]+[.]$/

/** Each way ends in one sentence with one of the codes, and leaves the file and the places as they were. */
async function isRefusedEverywhere(codes: readonly string[], at = ''): Promise<void> {
  const before = readFileSync(file)
  for (const way of Object.keys(WAYS) as (keyof typeof WAYS)[]) {
    const { code, message } = await refusal(way)
    // What is damaged is no intact backup to one who restores it.
    const isDamaged = code === 'HISTORY_NOT_INTACT' && (way === 'restore' || way === 'beside')
    const own = isDamaged ? 'HISTORY_CORRUPT' : code
    expect(codes, `${at} ${way}: ${message}`).toContain(own)
    expect(message).toMatch(ONE_SENTENCE)
    expect(readFileSync(file).equals(before), `${at} ${way}`).toBe(true)
    expect(existsSync(join(shelf, 'backup.sqlite'))).toBe(false)
    expect(existsSync(join(shelf, 'place', 'overbend.sqlite'))).toBe(false)
  }
}

describe('a file that is no whole history is refused by every way in, and left as it is', () => {
  test('cut off at every kB', async () => {
    for (let bytes = 0; bytes < whole.length; bytes += 1024) {
      writeFileSync(file, whole.subarray(0, bytes))
      // Less than SQLite's own header of 100 bytes is none of its files to it.
      const codes = bytes < 1024 ? ['HISTORY_CORRUPT', 'HISTORY_FOREIGN'] : ['HISTORY_CORRUPT']
      await isRefusedEverywhere(codes, `${bytes} bytes`)
    }
    expect(whole.length).toBeGreaterThan(50 * 1024)
  })

  test('a text', async () => {
    writeFileSync(file, 'Bends of last week, by hand.\n'.repeat(400))
    await isRefusedEverywhere(['HISTORY_FOREIGN'])
  })

  test("another program's database, with tables of the same names", async () => {
    const db = new Database(file)
    db.exec(
      'CREATE TABLE bend (id INTEGER PRIMARY KEY, record TEXT); INSERT INTO bend VALUES (1, 1)',
    )
    db.pragma('application_id = 42')
    db.close()
    await isRefusedEverywhere(['HISTORY_FOREIGN'])
  })

  test('a newer schema', async () => {
    writeFileSync(file, whole)
    const db = new Database(file)
    db.pragma('user_version = 999')
    db.close()
    await isRefusedEverywhere(['HISTORY_NEWER'])
  })

  test('an older schema than there ever was', async () => {
    const db = new Database(file)
    db.pragma('user_version = 0')
    db.exec('CREATE TABLE bend (id INTEGER)')
    db.close()
    await isRefusedEverywhere(['HISTORY_FOREIGN'])
  })
})

test('one that was tampered with is opened, since the shop goes on; it is no backup, and says where', async () => {
  writeFileSync(file, whole)
  tamper(file, 'UPDATE bend SET record = replace(record, \'"in"\', \'"out"\') WHERE id = 3')
  expect(verifyFolder(dir)).toMatchObject({ intact: false, firstBroken: 3 })
  for (const way of ['backup', 'restore', 'beside'] as const) {
    const { code, message } = await refusal(way)
    expect(code).toBe('HISTORY_NOT_INTACT')
    expect(message).toContain('Record 3')
  }
  const history = openHistory(dir)
  expect(history.append(newBend(7), rawOf(7)).id).toBe(7)
  expect(history.verify()).toMatchObject({ intact: false, firstBroken: 3 })
  history.close()
  expect(readdirSync(dir).sort()).toEqual(['overbend.lock', 'overbend.sqlite'])
})

test('with the clock set back an hour order is by number, and the jump stands in the records', () => {
  const hourBefore = (n: number) => {
    const startMs = Date.UTC(2026, 0, 5, 7) + n * 20_000 - 3_600_000
    return newBend(n, {
      startedAt: new Date(startMs).toISOString(),
      finishedAt: new Date(startMs + 12_345).toISOString(),
    })
  }
  const history = openShop(dir, 3)
  for (const n of [4, 5]) history.append(hourBefore(n), rawOf(n))
  history.close()
  const reader = openReader(dir)
  const bends = [...reader.bends({})]
  expect(bends.map(({ id }) => id)).toEqual([1, 2, 3, 4, 5])
  const startedMs = bends.map(({ startedAt }) => Date.parse(startedAt))
  expect(startedMs.map((ms, i) => ms < (startedMs[i - 1] ?? 0))).toEqual([
    false,
    false,
    false,
    true,
    false,
  ])
  const { startedAt } = bends[0] as { startedAt: string }
  expect([...reader.bends({ to: startedAt })].map(({ id }) => id)).toEqual([4, 5])
  reader.close()
  expect(verifyFolder(dir)).toMatchObject({ records: 5, intact: true })
})
