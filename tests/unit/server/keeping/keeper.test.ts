import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { HistoryError } from '../../../../server/history/errors.ts'
import type { History } from '../../../../server/history/history.ts'
import { verifyFolder } from '../../../../server/history/reader.ts'
import { backupMs, backupName, isBackupDue } from '../../../../server/keeping/backup-due.ts'
import { isOnDiskOf } from '../../../../server/keeping/copies.ts'
import { type Keeper, makeKeeper } from '../../../../server/keeping/keeper.ts'
import { makeFolder, openShop } from '../history/shop.ts'

vi.setConfig({ testTimeout: 60_000 })

const H = 3_600_000
const START_MS = Date.UTC(2026, 2, 2, 8, 30)

let dir: string
let remove: () => void
let shelf: string
let history: History
let keeper: Keeper | null
let wallMs: number
let said: string[]
/** What falls due when the test says so. */
let due: (() => void)[]

beforeEach(() => {
  ;({ dir, remove } = makeFolder())
  shelf = mkdtempSync(join(tmpdir(), 'overbend-copies-'))
  history = openShop(dir, 3)
  keeper = null
  wallMs = START_MS
  said = []
  due = []
})
afterEach(async () => {
  await keeper?.stop()
  history.close()
  rmSync(shelf, { recursive: true, force: true })
  remove()
})

function start(folder: string | null, everyHours = 24): Keeper {
  keeper = makeKeeper({
    history,
    dataDir: dir,
    plan: folder === null ? null : { folder, everyHours },
    clock: {
      wallMs: () => wallMs,
      after(_seconds, act) {
        due.push(act)
        return {
          cancel() {
            due = due.filter((each) => each !== act)
          },
        }
      },
    },
    log: (sentence) => said.push(sentence),
  })
  keeper.start()
  return keeper
}

/** One look: it is done when it has asked for the next. */
async function round(): Promise<void> {
  const acts = due.splice(0)
  for (const act of acts) act()
  while (due.length === 0) await sleep(5)
}

const copies = () => readdirSync(shelf).filter((name) => name.endsWith('.sqlite'))

describe('backups by the clock', () => {
  test('the first is made at once, the next when its time has come; each is whole', async () => {
    const { keeping, notices } = start(shelf)
    await round()
    expect(copies()).toEqual(['overbend-2026-03-02T083000Z.sqlite'])
    wallMs += 23 * H
    await round()
    expect(copies()).toHaveLength(1)
    wallMs += H
    await round()
    expect(copies()).toEqual([
      'overbend-2026-03-02T083000Z.sqlite',
      'overbend-2026-03-03T083000Z.sqlite',
    ])
    for (const name of copies())
      expect(await verifyFolder(join(shelf, name))).toMatchObject({ intact: true, records: 3 })
    expect(keeping().backups).toMatchObject({ copies: 2, everyHours: 24, trouble: null })
    expect(keeping().backups?.lastGood?.file).toBe(join(shelf, copies()[1] ?? ''))
    expect(notices().filter(({ id }) => id === 'backup')).toEqual([])
  })

  test('one that was missed while the daemon was off is made at its start', async () => {
    writeFileSync(join(shelf, backupName(START_MS - 25 * H)), '')
    start(shelf)
    await round()
    expect(copies()).toHaveLength(2)
  })

  test('a clock that was set back: a copy of the future is none to rely on, and is not made again and again', async () => {
    writeFileSync(join(shelf, backupName(START_MS + 5 * H)), '')
    start(shelf)
    await round()
    await round()
    expect(copies()).toHaveLength(2)
  })

  test('other files in the folder are let be', async () => {
    writeFileSync(join(shelf, 'holiday.sqlite'), 'x')
    const { keeping } = start(shelf)
    await round()
    expect(keeping().backups?.copies).toBe(1)
    expect(existsSync(join(shelf, 'holiday.sqlite'))).toBe(true)
  })

  test('a folder that is away is told of, tried again, and the notice goes with its cause', async () => {
    const away = join(shelf, 'stick')
    const { keeping, notices } = start(away)
    await round()
    const notice = () => notices().find(({ id }) => id === 'backup')
    expect(notice()).toMatchObject({ kind: 'fault' })
    expect(notice()?.text).toContain(away)
    expect(notice()?.text).toContain('There is no good one yet.')
    expect(keeping().backups?.trouble).toContain(away)
    await round()
    expect(said.filter((sentence) => sentence.startsWith('A backup'))).toHaveLength(1)
    mkdirSync(away)
    wallMs += 16 * 60_000
    await round()
    expect(notice()).toBeUndefined()
    expect(readdirSync(away)).toHaveLength(1)
  })

  test('a copy that cannot be written leaves nothing half done', async () => {
    const { notices } = start(shelf)
    vi.spyOn(history, 'backup').mockRejectedValue(
      new HistoryError('HISTORY_DISK_FULL', { at: shelf }),
    )
    await round()
    expect(copies()).toEqual([])
    expect(notices().find(({ id }) => id === 'backup')?.text).toContain('The disk is full')
  })

  test('a copy on the same disk is a doubt', async () => {
    const { notices } = start(shelf)
    await round()
    const told = notices().some(({ id }) => id === 'backup-disk')
    expect(told).toBe(isOnDiskOf(shelf, dir))
    expect(isOnDiskOf(dir, dir)).toBe(true)
    expect(isOnDiskOf('/proc', dir)).toBe(false)
  })

  test('room on the disk is known after the first look, with or without copies', async () => {
    const { keeping } = start(null)
    expect(keeping()).toEqual({ backups: null, room: null })
    await round()
    expect(keeping().backups).toBeNull()
    expect(keeping().room?.freeBytes).toBeGreaterThan(0)
    expect(keeping().room?.daysLeft).toBeNull()
  })
})

describe('when a backup is due', () => {
  test('its name says when it was begun, to the second', () => {
    const name = backupName(START_MS + 999)
    expect(name).toBe('overbend-2026-03-02T083000Z.sqlite')
    expect(backupMs(name)).toBe(START_MS)
  })

  test.each(['overbend.sqlite', 'overbend-2026-13-02T083000Z.sqlite', `x${backupName(0)}`])(
    '%s is none of ours',
    (name) => expect(backupMs(name)).toBeNull(),
  )

  test.each([
    [null, true],
    [START_MS, false],
    [START_MS - 24 * H + 1, false],
    [START_MS - 24 * H, true],
    [Number.NaN, true],
  ])('after one of %s: %s', (lastMs, expected) => {
    expect(isBackupDue(lastMs, 24, START_MS)).toBe(expected)
  })
})
