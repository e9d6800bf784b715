import { execFileSync } from 'node:child_process'
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  rmdirSync,
  rmSync,
  statfsSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { backUp } from '../../server/history/backup.ts'
import type { History } from '../../server/history/history.ts'
import { openHistory } from '../../server/history/open.ts'
import { openReader, verifyFolder } from '../../server/history/reader.ts'
import { restoreHistory } from '../../server/history/restore.ts'
import { cannotMount } from '../support/needs.ts'
import {
  fillShop,
  lateRefusalOf,
  newBend,
  openShop,
  rawOf,
  refusalOf,
} from '../unit/server/history/shop.ts'

/** Raw lines that do not pack well: a few of them fill a small disk. */
const bulky = (n: number) => ({
  ...rawOf(n),
  lines: Array.from({ length: 1500 }, (_, i) => `${Math.sin(i * n)}`),
})

describe.skipIf(cannotMount())('a real small disk', () => {
  let disk: string
  let data: string
  const mount = (...options: string[]) => execFileSync('mount', [...options, disk])

  beforeEach(() => {
    disk = mkdtempSync(join(tmpdir(), 'overbend-disk-'))
    data = join(disk, 'data')
    mount('-t', 'tmpfs', '-o', 'size=2m', 'overbend')
  })
  afterEach(() => {
    execFileSync('umount', [disk])
    rmdirSync(disk)
  })

  function appendUntilRefused(history: History): { saved: number; code: string } {
    let saved = history.count()
    const refusal = refusalOf(() => {
      for (let n = saved + 1; n < 10_000; n += 1) saved = history.append(newBend(n), bulky(n)).id
    })
    expect(refusal.remedy).toBe('disk')
    return { saved, code: refusal.code }
  }

  test('full: refused with a code, nothing saved is lost, and it goes on when there is room', () => {
    mkdirSync(data)
    const ballast = join(disk, 'ballast')
    writeFileSync(ballast, Buffer.alloc(700_000))
    const history = openShop(data)
    const { saved, code } = appendUntilRefused(history)
    expect(code).toBe('HISTORY_DISK_FULL')
    expect(saved).toBeGreaterThan(0)
    expect(history.count()).toBe(saved)
    expect(history.bend(saved)?.id).toBe(saved)
    expect(history.page({ limit: 5 }).total).toBe(saved)
    expect(history.verify()).toMatchObject({ records: saved, intact: true })

    rmSync(ballast)
    expect(history.append(newBend(saved + 1), bulky(saved + 1)).id).toBe(saved + 1)
    expect(history.verify()).toMatchObject({ records: saved + 1, intact: true })
    history.close()
    const again = openHistory(data)
    expect(again.verify()).toMatchObject({ records: saved + 1, intact: true })
    again.close()
  })

  test('full to the last byte: what is there can still be read and opened', () => {
    mkdirSync(data)
    const history = openShop(data)
    const { saved } = appendUntilRefused(history)
    history.close()
    const { bavail, bsize } = statfsSync(disk)
    if (bavail > 0) writeFileSync(join(disk, 'rest'), Buffer.alloc(bavail * bsize))
    // The log's index, of 32 KiB, finds no room: refused with a code, or opened if there was some left.
    try {
      const again = openHistory(data)
      expect(again.count()).toBe(saved)
      again.close()
    } catch (error) {
      expect(error).toMatchObject({ code: 'HISTORY_DISK_FULL' })
    }
    rmSync(join(disk, 'rest'), { force: true })
    expect(verifyFolder(data)).toMatchObject({ records: saved, intact: true })
  })

  test('full from the start: refused, and made when there is room', () => {
    writeFileSync(join(disk, 'ballast'), Buffer.alloc(2 * 1024 * 1024 - 8192))
    expect(refusalOf(() => openHistory(data)).code).toBe('HISTORY_DISK_FULL')
    rmSync(join(disk, 'ballast'))
    const history = openShop(data, 1)
    expect(history.verify()).toMatchObject({ records: 1, intact: true })
    history.close()
  })

  test('too small for a backup: refused, and nothing is left of it', async () => {
    const shop = mkdtempSync(join(tmpdir(), 'overbend-shop-'))
    fillShop(shop, 1000)
    const refusal = await lateRefusalOf(backUp(shop, join(disk, 'backup.sqlite')))
    expect(refusal.code).toBe('HISTORY_DISK_FULL')
    expect(readdirSync(disk)).toEqual([])
    rmSync(shop, { recursive: true })
  })

  test('too small for a restore: refused, the old history is in force', async () => {
    const shop = mkdtempSync(join(tmpdir(), 'overbend-shop-'))
    fillShop(shop, 1000)
    const backup = join(shop, 'backup.sqlite')
    await backUp(shop, backup)
    openShop(data, 2).close()
    const refusal = await lateRefusalOf(restoreHistory(data, backup, { mayReplace: true }))
    expect(refusal.code).toBe('HISTORY_DISK_FULL')
    expect(verifyFolder(data)).toMatchObject({ records: 2, intact: true })
    expect(existsSync(join(data, 'overbend.sqlite.unfinished'))).toBe(false)
    rmSync(shop, { recursive: true })
  })

  test('made read-only: refused with a code, nothing changed', async () => {
    openShop(data, 2).close()
    const backup = join(disk, 'backup.sqlite')
    await backUp(data, backup)
    mount('-o', 'remount,ro')
    expect(refusalOf(() => openHistory(data)).code).toBe('HISTORY_READ_ONLY')
    expect(refusalOf(() => openHistory(join(disk, 'new'))).code).toBe('HISTORY_READ_ONLY')
    expect((await lateRefusalOf(restoreHistory(data, backup, { mayReplace: true }))).code).toBe(
      'HISTORY_READ_ONLY',
    )
    expect((await lateRefusalOf(backUp(data, join(disk, 'more.sqlite')))).code).toBe(
      'HISTORY_READ_ONLY',
    )
    // A backup has no log and can be put elsewhere from a disk that cannot be written to.
    const elsewhere = mkdtempSync(join(tmpdir(), 'overbend-elsewhere-'))
    expect(await restoreHistory(elsewhere, backup)).toMatchObject({ records: 2 })
    rmSync(elsewhere, { recursive: true })
    mount('-o', 'remount,rw')
    const reader = openReader(data)
    expect([...reader.bends({})]).toHaveLength(2)
    reader.close()
    expect(verifyFolder(data)).toMatchObject({ records: 2, intact: true })
  })
})
