import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Daemon, startDaemon } from '../support/daemon.ts'
import { skipWithout } from '../support/needs.ts'
import { type Browser, listenForFaults, openBrowser } from './stage.ts'

const BUILT = new URL('../../dist/dashboard/index.html', import.meta.url).pathname

describe.skipIf(skipWithout('chromium'))('the daemon and its bench in Chromium', () => {
  const data = mkdtempSync(join(tmpdir(), 'overbend-browser-'))
  let daemon: Daemon
  let browser: Browser

  beforeAll(async () => {
    if (!existsSync(BUILT)) throw new Error('The dashboard is not built: npm run build.')
    daemon = await startDaemon(['--bench', '--bench-speed', '10', '--data', data])
    browser = await openBrowser()
  })
  afterAll(async () => {
    await browser?.close()
    await daemon?.kill()
    rmSync(data, { recursive: true, force: true })
  })

  test('a bend is made, seen, recorded, and the next aim says how it changed', async () => {
    const page = await browser.context.newPage()
    const faults = listenForFaults(page)
    await page.goto(daemon.url)
    await page.locator('.digits-line').waitFor()
    await page.locator('html[data-field="stop"]').waitFor({ timeout: 60_000 })
    await page.locator('.cue[data-word="in"], .cue[data-word="under"]').waitFor({ timeout: 60_000 })
    await page.locator('.cue[data-word="seat"]').waitFor({ timeout: 60_000 })
    expect((await page.locator('.why').textContent())?.length).toBeGreaterThan(20)
    expect(await page.locator('.simulated').count()).toBe(1)

    await page.goto(`${daemon.url}/#/history`)
    await page.locator('tbody tr').first().waitFor()
    await page.locator('tbody tr a').last().click()
    await page.getByRole('heading', { name: 'Bend 1' }).waitFor()
    await page.locator('.record-trace canvas').waitFor()
    const { hash } = await daemon.get<{ hash: string }>('/api/bends/1')
    expect(await page.locator('main').textContent()).toContain(hash)
    expect(faults).toEqual([])
    await page.close()
  })

  test('a daemon that dies is missed within seconds', async () => {
    const page = await browser.context.newPage()
    await page.goto(daemon.url)
    await page.locator('.digits-line').waitFor()
    await daemon.kill()
    await page.getByText('This page lost the Overbend program.', { exact: true }).waitFor()
    expect(await page.locator('.digits-line').count()).toBe(0)
    await page.close()
  })
})
