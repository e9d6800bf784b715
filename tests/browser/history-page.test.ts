import type { Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, inject, test } from 'vitest'
import { skipWithout } from '../support/needs.ts'
import { type Browser, listenForFaults, openBrowser, openStage, type Stage } from './stage.ts'

const BENDS = 60

describe.skipIf(skipWithout('chromium'))('the History page in Chromium', () => {
  let browser: Browser
  let stage: Stage
  let page: Page
  let faults: string[]

  beforeAll(async () => {
    stage = await openStage(inject('dashboardDir'))
    browser = await openBrowser()
    stage.goTo(() => stage.station.history.count() === 20)
    stage.goTo(() => stage.station.history.count() === 40)
    stage.goTo(() => stage.station.history.count() === BENDS)
  })
  afterAll(async () => {
    await browser?.close()
    await stage?.close()
  })
  beforeEach(async () => {
    page = await browser.context.newPage()
    faults = listenForFaults(page)
    await page.goto(`${stage.url}/#/history`)
    await page.locator('tbody tr').first().waitFor()
    return () => page.close()
  })

  const numbers = async () =>
    (await page.locator('tbody tr td:first-child').allTextContents()).map(Number)

  test('lists the newest first and pages to the oldest', async () => {
    expect(await page.getByText(`${BENDS} bends`).count()).toBe(1)
    expect(await numbers()).toEqual(Array.from({ length: 50 }, (_, i) => BENDS - i))
    await page.getByRole('button', { name: 'Older' }).click()
    await expect.poll(numbers).toEqual(Array.from({ length: 10 }, (_, i) => 10 - i))
    expect(await page.getByRole('button', { name: 'Older' }).isDisabled()).toBe(true)
    expect(page.url()).toContain('before=11')
    await page.reload()
    await expect.poll(numbers).toEqual(Array.from({ length: 10 }, (_, i) => 10 - i))
    await page.getByRole('button', { name: 'Newest' }).click()
    await expect.poll(async () => (await numbers())[0]).toBe(BENDS)
    expect(faults).toEqual([])
  })

  test('a record shows what people decided of it since', async () => {
    const bend = stage.station.history.bend(2)
    if (bend === null) throw new Error('There is no bend 2.')
    const reason = '<i>The clamp</i> had slipped.'
    stage.station.history.addAct({
      ...{ kind: 'teaching', schema: 1, at: '2026-01-05T09:00:00.000Z', software: '0.1.0' },
      ...{ who: 'Quality', decision: 'taken-out', reason, bendId: 2 },
    })
    await page.goto(`${stage.url}/#/history/2`)
    const act = page.locator('.trail-act').filter({ hasText: 'Quality' })
    await act.waitFor()
    expect(await act.textContent()).toContain(reason)
    await page.goto(`${stage.url}/#/history/3`)
    await page.getByRole('heading', { name: 'Bend 3' }).waitFor()
    expect(await page.locator('.trail-act').count()).toBe(0)
    expect(faults).toEqual([])
  })

  test('filters by verdict, and says when nothing fits', async () => {
    await page.locator('#filter-verdict').selectOption('under')
    await page.getByRole('button', { name: 'Filter' }).click()
    const { total } = stage.station.history.page({ limit: 50, verdict: 'under' })
    expect(total).toBeGreaterThan(0)
    await page.getByText(new RegExp(`^${total} bends?$`)).waitFor()
    await page.locator('#filter-part').fill('No such part')
    await page.getByRole('button', { name: 'Filter' }).click()
    await page.getByText('No bend fits this filter.').waitFor()
    await page.getByRole('button', { name: 'Clear' }).click()
    await page.getByText(`${BENDS} bends`).waitFor()
  })

  test('a filter is saved for the shop and opened by its name; the keyboard stays where it can go on', async () => {
    const status = page.locator('main [role=status]').first()
    const focused = () => page.evaluate('document.activeElement.id')
    await page.goto(`${stage.url}/#/history?lot=RT-2207&verdict=under`)
    await page.getByRole('button', { name: 'Save these conditions' }).click()
    await page.locator('#view-name').fill('<b>Short</b> 🔥')
    await page.locator('#view-who').fill('Quality')
    await page.getByRole('button', { name: 'Save for everybody here' }).click()
    await page.getByText('Saved by Quality').waitFor()
    await page.getByRole('button', { name: 'Drop Lot: RT-2207' }).focus()
    await page.keyboard.press('Enter')
    await expect.poll(focused).toBe('condition-verdict')
    await page.keyboard.press('Enter')
    await expect.poll(() => status.textContent()).toBe(`${BENDS} bends`)
    expect(await status.evaluate((line) => line === line.ownerDocument.activeElement)).toBe(true)
    await page.locator('#view').selectOption('<b>Short</b> 🔥')
    await page.getByRole('button', { name: 'Drop Verdict: under' }).waitFor()
    expect(page.url()).toContain('#/history?lot=RT-2207&verdict=under')
    await page.getByRole('button', { name: 'Remove this view' }).click()
    await page.getByRole('button', { name: 'Remove it for everybody' }).click()
    await page.getByRole('button', { name: 'Save these conditions' }).waitFor()
    expect(stage.station.doors.views.list()).toEqual([])
    expect(faults).toEqual([])
  })

  test('a bend opens with its trace, all that was in force, and its hashes', async () => {
    await page.getByRole('link', { name: '57', exact: true }).click()
    await page.getByRole('heading', { name: 'Bend 57' }).waitFor()
    await page.locator('.record-trace canvas').waitFor()
    const bend = stage.station.history.bend(57)
    const text = (await page.locator('main').textContent()) ?? ''
    for (const part of [
      bend?.hash,
      bend?.previousHash,
      bend?.rawSha256,
      bend?.lot,
      bend?.operator,
      bend?.chainRevision,
      bend?.tube.material,
      `${bend?.releasedDeg?.toFixed(2)}°`,
      'Simulated',
    ])
      expect(text).toContain(part)
    expect(faults).toEqual([])
  })

  test('a tap anywhere on its row opens a bend, and the keyboard finds its link', async () => {
    const lot = page.locator('tbody tr', { hasText: 'piece 58' }).getByText('RT-2207')
    const box = await lot.boundingBox()
    await page.mouse.click((box?.x ?? 0) + 5, (box?.y ?? 0) + 5)
    await page.getByRole('heading', { name: 'Bend 58' }).waitFor()
    await page.goto(`${stage.url}/#/history`)
    const link = page.getByRole('link', { name: '59', exact: true })
    await link.focus()
    // The frame of the focus is round the row, not round the number.
    const outline = "getComputedStyle(document.activeElement, '::after').outlineStyle"
    await page.keyboard.press('Shift+Tab')
    await page.keyboard.press('Tab')
    expect(await page.evaluate(outline)).toBe('solid')
    await page.keyboard.press('Enter')
    await page.getByRole('heading', { name: 'Bend 59' }).waitFor()
    expect(faults).toEqual([])
  })

  test('a bend opens at its top, and going back leads to where the list was left', async () => {
    await page.goto(`${stage.url}/#/history`)
    const link = page.getByRole('link', { name: '30', exact: true })
    await link.scrollIntoViewIfNeeded()
    const kept = () => page.evaluate('history.state.y')
    const y = await page.evaluate('scrollY')
    expect(y).toBeGreaterThan(300)
    await expect.poll(kept).toBe(y)
    await link.click()
    await page.getByRole('heading', { name: 'Bend 30' }).waitFor()
    expect(await page.evaluate('scrollY')).toBe(0)
    await page.goBack()
    await link.waitFor()
    await expect.poll(() => page.evaluate('scrollY')).toBe(y)
    expect(faults).toEqual([])
  })

  test('on a phone what matters needs no sideways move, and a row is as high as a finger', async () => {
    await page.setViewportSize({ width: 390, height: 844 })
    const filter = page.locator('#filter-part')
    await expect.poll(() => filter.isVisible()).toBe(false)
    await page.getByText('Look for', { exact: true }).click()
    await filter.waitFor()
    const table = page.locator('.table-scroll')
    await expect.poll(() => table.evaluate((cell) => cell.scrollWidth - cell.clientWidth)).toBe(0)
    const row = page.locator('tbody tr', { hasText: 'piece 58' })
    const bend = stage.station.history.bend(58)
    const text = (await row.locator('td:visible').allTextContents()).join(' ')
    for (const part of [
      '58',
      'in',
      'Boarding rail BR-5',
      `${bend?.releasedDeg?.toFixed(2)}°`,
      '90.0°',
    ])
      expect(text).toContain(part)
    const offBy = ((bend?.releasedDeg ?? 0) - 90).toFixed(2).replace('-', '')
    expect(text).toContain(`${offBy}°`)
    expect(text).not.toContain('RT-2207')
    expect((await row.boundingBox())?.height).toBeGreaterThanOrEqual(44)
  })

  test('on a tablet so does what QA asks first; who bent it stands in the record', async () => {
    await page.setViewportSize({ width: 1024, height: 768 })
    const table = page.locator('.table-scroll')
    await expect.poll(() => table.evaluate((cell) => cell.scrollWidth - cell.clientWidth)).toBe(0)
    const heads = await page.locator('.bends th:visible').allTextContents()
    for (const head of ['Verdict', 'When', 'Lot', 'Wanted', 'Released'])
      expect(heads).toContain(head)
    expect(heads).not.toContain('Operator')
  })

  test('at every width all its numbers are whole; names of any length give way to them', async () => {
    await page.locator('.bends tbody').evaluate((body) => {
      for (const cell of body.querySelectorAll('.part, .named'))
        cell.textContent = 'Bow rail, starboard, drawing 4711-B'
    })
    const table = page.locator('.bends-frame')
    for (const width of [360, 768, 800, 1001, 1024, 1201, 1280, 1366, 1401, 1440, 1600, 1920]) {
      await page.setViewportSize({ width, height: 900 })
      const over = () => table.evaluate((cell) => cell.scrollWidth - cell.clientWidth)
      await expect.poll(over, { message: `at ${width}` }).toBe(0)
      const heads = await page.locator('.bends th:visible').allTextContents()
      expect(heads, `at ${width}`).toEqual(expect.arrayContaining(['Verdict', 'Released']))
      expect(heads.includes('Off by'), `at ${width}`).toBe(width > 760)
    }
  })

  test('its raw lines are one tap away', async () => {
    await page.goto(`${stage.url}/#/history/57`)
    const href = await page.getByRole('link', { name: 'Raw lines' }).getAttribute('href')
    const response = await page.request.get(stage.url + href)
    const lines = (await response.text()).trimEnd().split('\n')
    expect(lines.length).toBe(stage.station.history.bend(57)?.rawLines)
  })

  test('says how well an angle is known, and marks one of a readout whose check was due', async () => {
    const { history } = stage.station
    const { id: last, ...bend } = history.bend(history.count()) ?? { id: 0 }
    const raw = history.raw(last)
    if (!('setup' in bend) || raw === null) throw new Error('there is no bend')
    const why = 'The reference piece was not checked today.'
    const calibration = { number: 1, at: bend.startedAt, hash: 'c'.repeat(64) }
    const readout = { calibration, check: null, why, releasedExpandedDeg: 0.26 }
    history.append({ ...bend, readout: { ...readout, standing: 'overdue' } }, raw)
    await page.reload()
    const row = page.locator('tbody tr').first()
    await expect.poll(() => row.locator('td:first-child').textContent()).toBe(`${BENDS + 1}`)
    expect(await row.locator('.readout-doubt').allTextContents()).toEqual(['readout check overdue'])
    expect(await row.locator('.tolerance.widest').textContent()).toBe(' ± 0.26°')
    expect(await page.locator('tbody tr').nth(1).locator('.readout-doubt').count()).toBe(0)
    expect(faults).toEqual([])
    // The stage has no trace of this bend, so that its record may complain of that.
    await row.locator('a').click()
    await page.locator('main').getByText(`never checked. ${why}`, { exact: true }).waitFor()
  })

  test('a file that does not come says why, and the page stays', async () => {
    await page.getByRole('link', { name: 'Signed, for another machine' }).click()
    await page.locator('[role=alert]', { hasText: 'has no key to sign with' }).waitFor()
    expect(page.url()).toBe(`${stage.url}/#/history`)
    const csv = page.waitForEvent('download')
    await page.getByRole('link', { name: 'For a spreadsheet (CSV)' }).click()
    expect((await csv).suggestedFilename()).toBe('bends.csv')
    await expect.poll(() => page.locator('[role=alert]', { hasText: 'no key' }).count()).toBe(0)
  })

  test('a bend that is not there is said so', async () => {
    await page.goto(`${stage.url}/#/history/4000`)
    await page.locator('[role=alert]', { hasText: '4000' }).waitFor()
  })

  test('prints the record, not the controls', async () => {
    await page.goto(`${stage.url}/#/history/57`)
    await page.getByRole('heading', { name: 'Bend 57' }).waitFor()
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' })
    expect(await page.locator('.top-line').isVisible()).toBe(false)
    expect(await page.getByRole('button', { name: 'Print' }).isVisible()).toBe(false)
    const paper = await page.evaluate('getComputedStyle(document.documentElement).backgroundColor')
    expect(paper).toBe('rgb(255, 255, 255)')
  })
})
