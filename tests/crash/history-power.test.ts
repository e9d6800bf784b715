import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { openHistory } from '../../server/history/open.ts'
import { seeded } from '../support/fake-bend.ts'
import { newBend, rawOf } from '../unit/server/history/shop.ts'
import { isInMidWrite, leaveAfterPowerCut, leaveAsItStands, momentOf } from './power-cut.ts'
import { startWriter } from './stopped-writer.ts'

/** How often the power goes. */
const EVERYTHING = process.env['OVERBEND_TESTS_SKIP_NOTHING'] === '1'
const CUTS = Number(process.env['OVERBEND_POWER_CUTS'] ?? (EVERYTHING ? 1000 : 100))
const SEED = Number(process.env['OVERBEND_POWER_SEED'] ?? 20260301)
/** After so many the shop begins anew: a short history is soon verified. */
const CUTS_A_LIFE = 200
/** A bend or some between two cuts. */
const BETWEEN_MS_MAX = 8
/** A bend then fills some 25 pages of the log, and every 40 bends it is brought into the file. */
const SETTING_BYTES = '50000'
/** A place that never waits for a disk: what is opened afterwards is soon checked there. */
const IN_MEMORY = existsSync('/dev/shm') ? '/dev/shm' : tmpdir()

/** Every other shop writes to a disk, where it waits in mid-write, or to memory, where it soon fills its log. */
const places: string[] = []
beforeEach(() => {
  for (const place of [tmpdir(), IN_MEMORY])
    places.push(mkdtempSync(join(place, 'overbend-power-')))
})
afterEach(() => {
  for (const place of places.splice(0)) rmSync(place, { recursive: true, force: true })
})

interface Figures {
  cuts: number
  inMidWrite: number
  acknowledged: number
  oneMore: number
}

/** Opens what was left, as the daemon does at its next start, and goes on recording. */
function checkLeft(dir: string, acknowledged: number, hash: string | undefined): number {
  const history = openHistory(dir)
  try {
    const records = history.count()
    // At most the one bend more that was on the disk but not yet said.
    expect([0, 1]).toContain(records - acknowledged)
    expect(history.verify()).toMatchObject({ intact: true, records })
    // Each hash holds all before it.
    if (acknowledged > 0) expect(history.bend(acknowledged)?.hash).toBe(hash)
    expect(history.append(newBend(records + 1), rawOf(records + 1)).id).toBe(records + 1)
    return records
  } finally {
    history.close()
  }
}

/** One shop, whose power goes again and again; it never learns of it, since each cut is on a copy. */
async function live(
  place: string,
  cuts: number,
  random: () => number,
  figures: Figures,
): Promise<void> {
  const shop = join(place, 'shop')
  const left = join(places[1] ?? place, 'left')
  mkdirSync(shop)
  const script = join(import.meta.dirname, 'history-appender.child.ts')
  const writer = await startWriter(script, [shop, SETTING_BYTES], join(place, 'said'))
  try {
    for (let cut = 0; cut < cuts; cut += 1) {
      await writer.runOn(random() * BETWEEN_MS_MAX)
      const [id = '0', hash] = writer.said().at(-1)?.replace('ready', '0').split(' ') ?? []
      const moment = momentOf(shop)
      mkdirSync(left)
      if (cut % 2 === 0) leaveAsItStands(left, moment)
      else leaveAfterPowerCut(left, moment, random)
      figures.oneMore += checkLeft(left, Number(id), hash) - Number(id)
      rmSync(left, { recursive: true })
      figures.cuts += 1
      figures.inMidWrite += isInMidWrite(moment) ? 1 : 0
    }
    figures.acknowledged += Number(writer.said().at(-1)?.split(' ')[0])
  } finally {
    await writer.kill()
    rmSync(shop, { recursive: true })
  }
}

test(`the power goes ${CUTS} times while bends are recorded (seed ${SEED}): none that was acknowledged is missing`, async () => {
  const random = seeded(SEED)
  const figures: Figures = { cuts: 0, inMidWrite: 0, acknowledged: 0, oneMore: 0 }
  for (let life = 0; figures.cuts < CUTS; life += 1) {
    const cuts = Math.min(CUTS_A_LIFE, CUTS - figures.cuts)
    await live(places[life % 2] ?? tmpdir(), cuts, random, figures)
  }
  process.stderr.write(`${JSON.stringify(figures)}\n`)
  expect(figures.cuts).toBe(CUTS)
  // Else the power went only at moments when there was nothing to lose.
  expect(figures.inMidWrite).toBeGreaterThan(0)
  expect(figures.acknowledged).toBeGreaterThan(CUTS / 10)
})
