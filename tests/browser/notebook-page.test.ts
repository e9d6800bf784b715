import type { Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, inject, test } from 'vitest'
import { skipWithout } from '../support/needs.ts'
import { type Browser, listenForFaults, openBrowser, openStage, type Stage } from './stage.ts'

const HEAD = 'Day;Part;Angle;Tol;Bent to;Got'
const GOOD = [HEAD, '4.3.2019;BR-5;90;1;93,2;90,3', '5.3.2019;<b>BR</b> 🙂;45;1;46,9;45,1']

describe.skipIf(skipWithout('chromium'))('the page of an old notebook in Chromium', () => {
  let browser: Browser
  let stage: Stage
  let page: Page
  let faults: string[]

  beforeAll(async () => {
    stage = await openStage(inject('dashboardDir'))
    browser = await openBrowser()
  })
  afterAll(async () => {
    await browser?.close()
    await stage?.close()
  })
  beforeEach(async () => {
    page = await browser.context.newPage()
    faults = listenForFaults(page)
    await page.goto(`${stage.url}/#/notebook`)
    return () => page.close()
  })

  const choose = (lines: readonly string[], encoding: BufferEncoding = 'utf8') =>
    page.setInputFiles('#notebook-file', {
      name: 'notebook.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from(lines.join('\r\n'), encoding),
    })
  const take = () => page.getByRole('button', { name: /^Import \d+ lines?$/ })

  test('is mapped, looked over and imported, and its records say so', async () => {
    await choose(GOOD)
    // Who bent stands in no column: told once for both lines, and nothing can be imported until it is said.
    await page.getByText('1 thing is in the way').waitFor()
    await page.getByText('Nothing says where this stands').waitFor()
    expect(await take().count()).toBe(0)
    await page.getByLabel('Bent by', { exact: true }).selectOption('value')
    await page.getByLabel('Bent by, for all lines').fill('Ada')
    await page.getByRole('button', { name: 'Look it over' }).click()
    await page.getByText('2 lines, of which 2 can teach').waitFor()
    await page.getByLabel('Who imports it').fill('Quality')
    await take().click()
    const told = await page.getByText('2 bends are on record').textContent()
    // The bender bends on: its own bends have numbers too.
    const [, first, last] = /numbers (\d+) to (\d+)/.exec(told ?? '')?.map(Number) ?? []
    expect(last).toBe((first ?? 0) + 1)
    expect(stage.station.history.bend(last ?? 0)?.imported?.line).toBe(3)
    await page.goto(`${stage.url}/#/history/${last}`)
    await page.getByText('notebook.csv, line 3, by Quality').waitFor()
    expect(await page.getByText('<b>BR</b> 🙂').count()).toBe(1)
    expect(faults).toEqual([])
  })

  test('saved as Windows-1252 is read so, and says so and how its days are read', async () => {
    // 0x93 and 0x94 are the quotation marks “ and ” there (WHATWG Encoding, index windows-1252).
    const day = '3/4/2019;\x93Kj\xf8l\x94;90;1;93,2;90,3;J\xf6rg'
    await choose([`${HEAD};Who`, day], 'latin1')
    await page.getByText('Read as Windows-1252').waitFor()
    await page.getByText('3/4/2019 could be either day: it is read as 2019-04-03').waitFor()
    const table = page.getByRole('table', { name: 'As it would be recorded' })
    await table.getByRole('cell', { name: '“Kjøl”', exact: true }).waitFor()
    await table.getByRole('cell', { name: 'Jörg', exact: true }).waitFor()
    await page.getByLabel('Days', { exact: true }).selectOption('month-first')
    await page.getByText('it is read as 2019-03-04').waitFor()
  })

  test('whose lines do not fit its header says which, and nothing is recorded', async () => {
    await choose([...GOOD.slice(0, 1), ...GOOD.slice(1).map((line) => `${line};Ada`)])
    await page.getByText('put quotes round').first().waitFor()
    expect(await take().count()).toBe(0)
  })
})
