import { mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { backUp } from '../../server/history/backup.ts'
import { openHistory } from '../../server/history/open.ts'
import { verifyFolder } from '../../server/history/reader.ts'
import { bundled } from '../support/bundled.ts'
import { seeded } from '../support/fake-bend.ts'
import { fillShop, newBend, rawOf } from '../unit/server/history/shop.ts'
import { killed } from './killed.ts'

/** How often to kill; more for a long run. */
const KILLS = Number(process.env['OVERBEND_KILLS'] ?? 40)
const RESTORE_KILLS = Math.ceil(KILLS / 4)
const SEED = 20260105
/** Long enough for dozens of bends, and to be killed before the first. */
const AFTER_MS_MAX = 150

let scratch: string
beforeEach(() => {
  scratch = mkdtempSync(join(tmpdir(), 'overbend-kill-'))
})
afterEach(() => rmSync(scratch, { recursive: true, force: true }))

const script = (name: string) => bundled(join(import.meta.dirname, name))
let appender: Awaited<ReturnType<typeof bundled>>
let restorer: Awaited<ReturnType<typeof bundled>>
beforeAll(async () => {
  appender = await script('history-appender.child.ts')
  restorer = await script('history-restorer.child.ts')
})
afterAll(() => {
  for (const { remove } of [appender, restorer]) remove()
})

describe(`kill -9 at random moments (seed ${SEED})`, () => {
  test(`while bends are recorded, ${KILLS} times: none that was acknowledged is missing`, async () => {
    const random = seeded(SEED)
    const acknowledged = new Map<number, string>()
    let before = 0
    for (let kill = 0; kill < KILLS; kill += 1) {
      const lines = await killed(appender.file, [scratch], random() * AFTER_MS_MAX)
      for (const line of lines) {
        const [id, hash = ''] = line.split(' ')
        acknowledged.set(Number(id), hash)
      }
      const history = openHistory(scratch)
      const said = Math.max(before, ...acknowledged.keys())
      // At most the one bend more that was on the disk but not yet said.
      expect([0, 1]).toContain(history.count() - said)
      before = history.count()
      expect(history.verify()).toMatchObject({ intact: true, records: history.count() })
      const open = history.leftOpen()
      if (open !== null) expect(open.startedAt).toBe(newBend(history.count() + 1).startedAt)
      history.close()
    }
    const history = openHistory(scratch)
    for (const [id, hash] of acknowledged) {
      expect(history.bend(id)?.hash).toBe(hash)
      expect(history.raw(id)).toEqual(rawOf(id))
    }
    expect(acknowledged.size).toBeGreaterThan(KILLS)
    history.close()
  })

  test(`while a backup is restored, ${RESTORE_KILLS} times: it is one history or the other`, async () => {
    const random = seeded(SEED + 1)
    const place = join(scratch, 'place')
    const sizes = [300, 500]
    const backups = sizes.map((size) => join(scratch, `${size}.sqlite`))
    for (const [i, size] of sizes.entries()) {
      fillShop(join(scratch, String(size)), size)
      await backUp(join(scratch, String(size)), backups[i] ?? '')
    }
    fillShop(place, 300)
    for (let kill = 0; kill < RESTORE_KILLS; kill += 1) {
      const args = [place, ...backups]
      await killed(restorer.file, args, random() * 5 * AFTER_MS_MAX)
      const { intact, records } = verifyFolder(place)
      expect({ intact, isOneOfThem: sizes.includes(records) }).toEqual({
        intact: true,
        isOneOfThem: true,
      })
      openHistory(place).close()
      expect(readdirSync(place).filter((name) => /-(wal|shm)$/.test(name))).toEqual([])
    }
  })
})
