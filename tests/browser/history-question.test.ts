import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { type Daemon, overbend, startDaemon } from '../support/daemon.ts'
import { skipWithout } from '../support/needs.ts'
import {
  newBend,
  newCalibration,
  newCheck,
  newPiece,
  openShop,
  rawOf,
  readoutOf,
} from '../unit/server/history/shop.ts'
import { type Browser, listenForFaults, openBrowser } from './stage.ts'

const BENDS = 60
const PER_PIECE = 3
/** This one went wrong. */
const FAR_OFF = 40
const WHY = 'Read the stamp on the tube again.'
const LONG_NOTE = `${'سكة <img src=x onerror=alert(1)> 🔧 '.repeat(300).slice(0, 9_980)}end of it`

/** Three bends a piece, on a readout that was checked; of the last bend of piece 17 the lot was amended, and a note written. */
function recordShop(folder: string): { readonly bendId: number; readonly lot: string } {
  const history = openShop(folder)
  const calibration = history.addReadoutEntry(newCalibration())
  history.addReadoutEntry(newPiece())
  const check = history.addReadoutEntry(newCheck())
  const readout = { ...readoutOf(calibration, check), standing: 'good', why: null } as const
  for (let n = 1; n <= BENDS; n += 1) {
    const piece = Math.ceil(n / PER_PIECE)
    const job = { ...newBend(n).job, part: 'Boarding rail', piece }
    const bendNumber = n - (piece - 1) * PER_PIECE
    const checked = { readout, verification: check.at }
    const releasedDeg = n === FAR_OFF ? 91.6 : 90.1 + 0.04 * ((n - 51) % 5)
    const made = { job: { ...job, bendNumber }, releasedDeg, ...checked }
    history.append(newBend(n, made), rawOf(n))
  }
  const bendId = 17 * PER_PIECE
  const { lot } = history.bend(bendId) ?? { lot: '' }
  const common = { schema: 1, at: '2026-01-06T09:00:00.000Z', software: '0.1.0', bendId } as const
  history.addAct({
    ...{ ...common, kind: 'amendment', who: 'Quality', field: 'lot' },
    ...{ from: lot, to: 'L-99', reason: WHY },
  })
  history.addAct({ ...common, kind: 'note', who: '<b>Night</b>', text: LONG_NOTE })
  history.close()
  return { bendId, lot }
}

describe.skipIf(skipWithout('chromium'))('weeks later, from the History page alone', () => {
  const data = mkdtempSync(join(tmpdir(), 'overbend-question-'))
  const elsewhere = mkdtempSync(join(tmpdir(), 'overbend-elsewhere-'))
  let daemon: Daemon
  let browser: Browser
  let page: Page
  let faults: string[]
  let bendId: number
  let lot: string

  beforeAll(async () => {
    ;({ bendId, lot } = recordShop(data))
    expect((await overbend(['key', '--make', '--data', data])).code).toBe(0)
    // A port that is not there: no bend comes to those that are asked about.
    daemon = await startDaemon(['--serial', join(data, 'no-port'), '--data', data])
    browser = await openBrowser()
  })
  afterAll(async () => {
    await browser?.close()
    await daemon?.stop()
    for (const folder of [data, elsewhere]) rmSync(folder, { recursive: true, force: true })
  })
  beforeEach(async () => {
    page = await browser.context.newPage()
    faults = listenForFaults(page)
    await page.goto(`${daemon.url}/#/history`)
    await page.locator('tbody tr').first().waitFor()
    return () => page.close()
  })

  const status = (text: string) =>
    page
      .getByRole('status')
      .filter({ hasText: new RegExp(`^${text}$`) })
      .waitFor()

  test('was the third bend of piece 17 right, of which lot, checked when, changed since; and proof of it to take along', async () => {
    await page.locator('#filter-piece').fill('17')
    await page.keyboard.press('Enter')
    await status('3 bends')
    await page.getByRole('button', { name: 'Check the record' }).click()
    await page.getByText(/ records, intact\. The head begins with /).waitFor()
    const row = page.locator('tbody tr').filter({ has: page.locator('.bend-marks') })
    expect(await row.locator('.bend-marks').textContent()).toContain('amended')
    await row.locator('a').click()
    await page.getByRole('heading', { name: `Bend ${bendId}` }).waitFor()
    await page.locator('.record-amended').waitFor()
    const text = (await page.locator('main').textContent()) ?? ''
    for (const part of [lot, 'L-99', WHY, 'Quality', LONG_NOTE, '<b>Night</b>', '90.10°'])
      expect(text).toContain(part)
    const verification = page.locator('main').getByText('Last readout check', { exact: true })
    expect(await verification.locator('..').textContent()).toContain('2026-01-05')
    expect(await page.locator('main img, main bdi b').count()).toBe(0)

    await page.getByRole('button', { name: 'Sign', exact: true }).click()
    await page.getByRole('button', { name: 'All 3 bends of this piece' }).click()
    await page.locator('.piece-bends li').nth(2).waitFor()
    await page.locator('#sign-who').fill('Rosa')
    await page.getByRole('button', { name: 'Sign these bends' }).click()
    await page.getByText(`Signed: bends ${bendId - 2}, ${bendId - 1}, ${bendId}.`).waitFor()

    const link = (name: string) => page.getByRole('link', { name }).getAttribute('href')
    const certificate = await page.request.get(
      `${daemon.url}${await link('Certificate of this piece')}`,
    )
    const paper = join(elsewhere, 'piece-17.pdf')
    writeFileSync(paper, await certificate.body())
    const key = join(data, 'overbend-public.pem')
    const held = await overbend(['verify', paper, '--key', key])
    expect([held.code, held.errors]).toEqual([0, ''])
    expect(held.out).toContain('Certificate, unaltered; inside 3 bends and 5 acts')
    const signed = await page.request.get(`${daemon.url}${await link('This piece, signed')}`)
    const file = join(elsewhere, 'piece-17.jsonl')
    writeFileSync(file, await signed.body())
    const checked = await overbend(['verify', file, '--key', key])
    expect(checked.errors).toBe('')
    expect(checked.code).toBe(0)
    expect(checked.out).toContain('3 bends')
    writeFileSync(file, (await signed.text()).replace(lot, 'L-42'))
    expect((await overbend(['verify', file, '--key', key])).code).toBe(1)
    // The trace of a made-up bend cannot be run again, which the record says.
    expect(faults.filter((fault) => !fault.includes('409'))).toEqual([])
    await page.goto(`${daemon.url}/#/history?lot=L-99`)
    await page.getByRole('heading', { name: 'History' }).waitFor()
    expect(await link('Certificate of this lot')).toBe('/api/certificate?lot=L-99')
  })

  test('the address holds the filter: after a reload, on the way back, and without what it cannot ask for', async () => {
    await page.goto(`${daemon.url}/#/history?piece=17&verdict=good`)
    await page.getByRole('alert').filter({ hasText: 'Verdict must be one of' }).waitFor()
    await status('3 bends')
    await page.reload()
    await page.getByRole('button', { name: 'Drop Piece: 17' }).click()
    await status(`${BENDS} bends`)
    await page.goBack()
    await status('3 bends')
    expect(await page.locator('#filter-piece').inputValue()).toBe('17')
    expect(faults).toEqual([])
  })

  test('its charts say which bend is not as by chance, and each point opens its bend', async () => {
    await page.getByRole('link', { name: 'Charts of these bends' }).click()
    await page.getByRole('heading', { name: 'Charts', exact: true }).waitFor()
    await status(`${BENDS} bends in these charts`)
    const far = page.locator('.rule-breaks li', { hasText: 'more than 3 sigma from the middle' })
    expect(await far.locator('a').allTextContents()).toEqual([String(FAR_OFF)])
    // One lot was amended: two lots, so that there are Pp and Ppk alone.
    const indices = page.getByRole('table', { name: 'Capability' }).locator('tbody tr')
    expect(await indices.count()).toBe(2)
    await page.getByText('These bends are of 2 lots').waitFor()
    const chart = page.locator('.point-chart').first()
    const box = await chart.locator('.u-over').boundingBox()
    if (box === null) throw new Error('There is no chart.')
    const xPx = box.x + (box.width * (FAR_OFF - 0.5)) / BENDS
    for (let yPx = box.y; yPx < box.y + box.height; yPx += 8) {
      await page.mouse.move(xPx, yPx)
      if ((await chart.getAttribute('data-on')) === String(FAR_OFF)) break
    }
    await page.mouse.down()
    await page.mouse.up()
    await page.getByRole('heading', { name: `Bend ${FAR_OFF}` }).waitFor()
    await page.goto(`${daemon.url}/#/history/charts?piece=17`)
    // What was amended is found under both lots; under the new one it is alone.
    await page.getByRole('link', { name: `${lot} (2)` }).waitFor()
    await page.getByRole('link', { name: 'L-99 (1)' }).click()
    await status('1 bend in these charts')
    await page.goBack()
    await status('3 bends in these charts')
    await page.getByRole('link', { name: 'These bends as a list' }).click()
    await status('3 bends')
    expect(faults.filter((fault) => !fault.includes('409'))).toEqual([])
  })

  test('where nothing fits, says which condition to drop', async () => {
    await page.goto(`${daemon.url}/#/history?piece=17&lot=No+such+lot`)
    await status('0 bends')
    await page.getByRole('button', { name: 'Without Lot: 3 bends' }).click()
    await status('3 bends')
    expect(faults).toEqual([])
  })
})
