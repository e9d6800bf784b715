import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { makePointer } from '../../firmware-protocol/bench/pointer.ts'
import { makeRandom } from '../../firmware-protocol/bench/random.ts'
import { ENCODER, makeSensor } from '../../firmware-protocol/bench/sensor.ts'
import { driveBoard, type SimulatedBoard } from '../../firmware-protocol/bench/simulated-board.ts'
import { makeWorkshop } from '../../firmware-protocol/bench/workshop.ts'
import type { Bend } from '../../server/messages/bends.ts'
import { type Daemon, startDaemon } from '../support/daemon.ts'
import { FIRMWARE_NEEDS, plugInFirmware } from '../support/firmware.ts'
import { skipWithout } from '../support/needs.ts'
import { type Browser, listenForFaults, openBrowser } from './stage.ts'

const BUILT = new URL('../../dist/dashboard/index.html', import.meta.url).pathname
const COUNTS_PER_TURN = 4096
/** A tenth of a degree or one step of the encoder, whichever is larger. */
const WITHIN_DEG = Math.max(0.1, 360 / COUNTS_PER_TURN)
const SEED = 5
/** Where the operator at the model stops; wanted a little less, so that the tube is in or over, never under. */
const STOP_DEG = 30

const FORM: Readonly<Record<string, string>> = {
  station: 'Bender 2',
  dieName: '38 rail',
  dieOd: '38.1 mm',
  clr: '114.3 mm',
  od: '1 1/2 in',
  wall: '1.65 mm',
  lot: 'RT-7',
  part: 'Boarding rail',
  wanted: '20',
  tolerance: '12',
  operator: 'Operator 1',
}

describe.skipIf(skipWithout('chromium', ...FIRMWARE_NEEDS))(
  'from the box to a recorded bend',
  () => {
    const data = mkdtempSync(join(tmpdir(), 'overbend-box-'))
    let board: SimulatedBoard
    let daemon: Daemon
    let browser: Browser
    let rest: () => void = () => undefined

    beforeAll(async () => {
      if (!existsSync(BUILT)) throw new Error('The dashboard is not built: npm run build.')
      board = await plugInFirmware({ COUNTS_PER_TURN }, 'BOX-1')
      // As a shop begins: nothing was ever bent, and the port is not yet the right one.
      daemon = await startDaemon(['--serial', join(data, 'not-plugged-in'), '--data', data])
      browser = await openBrowser()
    }, 180_000)
    afterAll(async () => {
      rest()
      await browser?.close()
      await daemon?.kill()
      await board?.stop()
      rmSync(data, { recursive: true, force: true })
    })

    test('the page leads there: wire, lines, mount, set-up, bend', {
      timeout: 300_000,
    }, async () => {
      const page = await browser.context.newPage()
      const faults = listenForFaults(page)
      await page.goto(`${daemon.url}/#/sensor`)
      const step = (name: string) => page.getByRole('region', { name, exact: true })

      // The bender stands still until there is something to be bent.
      let isWorking = false
      const workshop = makeWorkshop(SEED)
      const sensor = { ...ENCODER, countsPerTurn: COUNTS_PER_TURN, noiseDeg: 0 }
      const point = makePointer([STOP_DEG])
      const motion = {
        ...workshop,
        advance(dtS: number) {
          if (!isWorking) return
          workshop.advance(dtS)
          workshop.show(point(workshop.sight()))
        },
      }
      rest = driveBoard(board, motion, makeSensor(sensor, makeRandom(SEED, 'sensor')))

      const wire = step('Wire')
      await wire.getByLabel('Comes by').selectOption('serial')
      await wire.getByLabel('Port', { exact: true }).fill(board.tty)
      await wire.getByRole('button', { name: 'Use this wire' }).click()
      await wire.getByText('This wire is in use now.').waitFor()
      // The verdict says it and the state line says it; only the second is about this moment.
      await wire.locator('.step-state', { hasText: 'lines arrive' }).waitFor({ timeout: 30_000 })

      const lines = step('Lines')
      await lines
        .getByText(/^\$PXOBS,/)
        .first()
        .waitFor()
      await expect
        .poll(() =>
          lines
            .getByRole('row', { name: /Bad checksum/ })
            .getByRole('cell')
            .first()
            .textContent(),
        )
        .toBe('0')

      const mount = step('Mount')
      await mount.getByRole('button', { name: 'Use this sensor' }).click()
      await mount.getByText(/in use now|Kept/).waitFor()
      const digits = mount.locator('.live-angle output')
      await expect.poll(() => digits.textContent()).toMatch(/^−?\d+\.\d°$/)
      await page.goto(`${daemon.url}/#/setup`)
      for (const [field, text] of Object.entries(FORM)) await page.locator(`#${field}`).fill(text)
      await page.locator('#material').selectOption('316l-annealed')
      await page.getByRole('button', { name: 'Use this' }).click()
      await page.waitForURL(/#\/bend$/)
      await page.locator('.digits-line').waitFor()
      expect(await page.locator('.simulated').count()).toBe(0)
      const total = async () => (await daemon.get<{ total: number }>('/api/bends?limit=1')).total
      expect(await total()).toBe(0)

      isWorking = true
      await page
        .locator('.cue[data-word="in"], .cue[data-word="over"]')
        .waitFor({ timeout: 120_000 })
      await expect.poll(total, { timeout: 60_000 }).toBe(1)
      const bend = await daemon.get<Bend>('/api/bends/1')
      const truth = workshop.truth()
      expect(bend).toMatchObject({ lot: 'RT-7', operator: 'Operator 1' })
      expect(Math.abs((bend.peakDeg ?? 0) - (truth?.peakDeg ?? 99))).toBeLessThanOrEqual(WITHIN_DEG)
      expect(Math.abs((bend.releasedDeg ?? 0) - (truth?.releasedDeg ?? 99))).toBeLessThanOrEqual(
        WITHIN_DEG,
      )

      // An armed relay of the real firmware lasts as long as the page that armed it.
      isWorking = false
      await daemon.send('POST', '/api/station/act', { act: 'datum' })
      await page.goto(`${daemon.url}/#/sensor`)
      await step('Output')
        .getByLabel(/I have read this/)
        .check()
      await step('Output').getByRole('button', { name: 'Arm the relay' }).click()
      const isOn = () => board.pins().findLast(({ output }) => output === 'relay')?.on
      await expect.poll(isOn).toBe(true)
      expect(faults).toEqual([])
      await page.close()
      await expect.poll(isOn).toBe(false)
    })
  },
)
