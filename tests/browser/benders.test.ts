import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { type Daemon, startDaemon } from '../support/daemon.ts'
import { skipWithout } from '../support/needs.ts'
import { type Browser, openBrowser, PICTURES, pictureFolder } from './stage.ts'

const BUILT = new URL('../../dist/dashboard/index.html', import.meta.url).pathname
const STATIONS = [
  { name: 'Left bender', bench: { seed: 1 } },
  { name: 'Right bender', bench: { seed: 2 } },
]

describe.skipIf(skipWithout('chromium'))('two benders of one daemon in Chromium', () => {
  const data = mkdtempSync(join(tmpdir(), 'overbend-benders-'))
  let daemon: Daemon
  let browser: Browser
  let page: Page

  beforeAll(async () => {
    if (!existsSync(BUILT)) throw new Error('The dashboard is not built: npm run build.')
    const file = join(data, 'shop.json')
    writeFileSync(file, JSON.stringify({ stations: STATIONS }))
    daemon = await startDaemon(['--stations', file, '--data', join(data, 'history')])
    browser = await openBrowser()
  })
  afterAll(async () => {
    await browser?.close()
    await daemon?.kill()
    rmSync(data, { recursive: true, force: true })
  })
  beforeEach(async () => {
    page = await browser.context.newPage()
    return () => page.close()
  })

  const line = () => page.getByRole('navigation', { name: 'Benders' })
  const here = () => line().locator('[aria-current]').textContent()
  const query = () => new URL(page.url()).searchParams.get('station')

  test('a page looks at the first, and says so in its address', async () => {
    await page.goto(`${daemon.url}/#/bend`)
    await expect.poll(here).toContain('Left bender')
    expect(query()).toBe('left-bender')
    await page.locator('.title-block').getByText('Left bender').waitFor()
  })

  test('another one is chosen by keyboard, kept from page to page, and remembered', async () => {
    await page.goto(`${daemon.url}/#/bend`)
    await line().getByRole('link', { name: 'Right bender' }).press('Enter')
    await expect.poll(query).toBe('right-bender')
    await page.locator('.title-block').getByText('Right bender').waitFor()
    await page.goto(`${page.url().split('#')[0]}#/setup`)
    await expect.poll(() => page.locator('#station').inputValue()).toBe('Right bender')
    expect(query()).toBe('right-bender')
    const again = await browser.context.newPage()
    await again.goto(`${daemon.url}/#/bend`)
    await again.locator('.title-block').getByText('Right bender').waitFor()
    await again.close()
  })

  test('one that is not there is never shown as another one', async () => {
    await page.goto(`${daemon.url}/?station=gone#/bend`)
    await page.getByText('There is no bender "gone" here').waitFor()
    expect(await page.locator('.title-block').getByText('bender').count()).toBe(0)
  })

  test.each(PICTURES)('pictures: $size.name, $ground', async ({ size, ground }) => {
    const folder = pictureFolder()
    await page.setViewportSize(size)
    await page.emulateMedia({ colorScheme: ground })
    await page.goto(`${daemon.url}/?station=left-bender#/bend`)
    await page.locator('.title-block').getByText('Left bender').waitFor()
    const width = await page.evaluate('document.documentElement.scrollWidth')
    expect(width).toBeLessThanOrEqual(size.width)
    const heights = await line()
      .getByRole('link')
      .evaluateAll((links) => links.map((link) => link.getBoundingClientRect().height))
    for (const height of heights) expect(height).toBeGreaterThanOrEqual(44)
    if (folder !== null)
      await page.screenshot({ path: join(folder, `benders-${size.name}-${ground}.png`) })
  })
})
