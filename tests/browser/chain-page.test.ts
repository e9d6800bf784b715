import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { ChainSeen } from '../../server/messages/chain.ts'
import { type Daemon, startDaemon } from '../support/daemon.ts'
import { skipWithout } from '../support/needs.ts'
import { type Browser, listenForFaults, openBrowser } from './stage.ts'

const BUILT = new URL('../../dist/dashboard/index.html', import.meta.url).pathname

describe.skipIf(skipWithout('chromium'))('the Chain page on the running bench', () => {
  const data = mkdtempSync(join(tmpdir(), 'overbend-chain-'))
  let daemon: Daemon
  let browser: Browser
  let page: Page
  let faults: string[]

  beforeAll(async () => {
    if (!existsSync(BUILT)) throw new Error('The dashboard is not built: npm run build.')
    daemon = await startDaemon(['--bench', '--data', data])
    browser = await openBrowser()
  })
  afterAll(async () => {
    await browser?.close()
    await daemon?.kill()
    rmSync(data, { recursive: true, force: true })
  })
  beforeEach(async () => {
    page = await browser.context.newPage()
    faults = listenForFaults(page)
    await page.goto(`${daemon.url}/#/chain`)
    await block('smoother').waitFor()
    return () => page.close()
  })

  const block = (id: string) => page.getByRole('button', { name: new RegExp(`^${id}\\.`) })

  test('draws every block and every connection of the chain that runs', async () => {
    const { blocks, file } = await daemon.get<{
      blocks: readonly { id: string }[]
      file: { connections: readonly unknown[] }
    }>('/api/chain')
    for (const { id } of blocks) expect(await block(id).count(), id).toBe(1)
    expect(await page.locator('.chain-drawing .flow').count()).toBe(file.connections.length)
    expect(faults).toEqual([])
  })

  test('shows at each output what goes over it now, in its unit', async () => {
    const angle = block('scale').locator('.port-value')
    await expect.poll(() => angle.textContent()).toMatch(/^−?\d+\.\d\d°$/)
    await block('scale').locator('.output[data-condition="good"]').waitFor()
    expect(await block('decode').locator('.output[data-condition="none"]').count()).toBeGreaterThan(
      0,
    )
    expect(faults).toEqual([])
  })

  test('each connection of numbers begins with a small trace of its last seconds', async () => {
    await expect
      .poll(() => block('scale').locator('.line-trace').getAttribute('points'))
      .toMatch(/^0\.0,[\d.]+ .*40\.0,[\d.]+$/)
    expect(faults).toEqual([])
  })

  /** What the daemon tells of these blocks is so old, as when the sensor is pulled or a block gives nothing more. */
  const silenceFrom = (blocks: RegExp) =>
    page.route('**/api/chain/seen', async (route) => {
      const response = await route.fetch()
      const seen = (await response.json()) as ChainSeen
      const outputs = seen.outputs.map((output) =>
        blocks.test(output.block) && output.timeS !== null
          ? { ...output, timeS: seen.nowS - 5 }
          : output,
      )
      // Who asked may be gone by now.
      await route.fulfill({ json: { ...seen, outputs } }).catch(() => undefined)
    })

  test('values that stay away are marked where they begin to, and said above the drawing', async () => {
    await silenceFrom(/./)
    await page
      .getByText(/^Values are stale from block decode on: .* for 5\.0 s\. Look at the sensor/)
      .waitFor()
    expect(await page.locator('.block[data-begins]').count()).toBe(1)
    await block('decode')
      .getByText(/^stale from here: /)
      .waitFor()
    await page.unroute('**/api/chain/seen')
    await silenceFrom(/^smoother$/)
    await page.getByText(/^Values are stale from block smoother on: .* open the block/).waitFor()
    await block('smoother').getByText('stale from here: angle').waitFor()
    expect(faults).toEqual([])
  })

  test('by keyboard alone a block opens with its parameters, help and counters, and closes', async () => {
    await block('smoother').focus()
    await page.keyboard.press('Enter')
    const sheet = page.getByRole('region', { name: 'smoother' })
    await sheet.waitFor()
    const row = sheet.getByRole('row', { name: /^noiseDeg/ })
    expect(await row.textContent()).toContain('≥ 0.0001, ≤ 10')
    const counted = sheet.getByRole('row', { name: /^angle Smoothed/ })
    const goodOf = async () =>
      Number(/(\d+) \/ \d+ \/ \d+/.exec((await counted.textContent()) ?? '')?.[1])
    const before = await goodOf()
    await expect.poll(goodOf).toBeGreaterThan(before)
    await sheet.getByRole('button', { name: 'Close' }).focus()
    await page.keyboard.press('Enter')
    await expect.poll(() => sheet.count()).toBe(0)
    expect(faults).toEqual([])
  })

  test('the same chain stands as text, as the API has it', async () => {
    await page.getByRole('button', { name: 'As text' }).click()
    const text = await page.getByRole('textbox', { name: 'As text' }).inputValue()
    const { file } = await daemon.get<{ file: unknown }>('/api/chain')
    expect(JSON.parse(text)).toEqual(file)
  })

  test('on a phone the page itself does not move sideways; the drawing does, under its frame', async () => {
    await page.setViewportSize({ width: 390, height: 844 })
    const widths = () =>
      page.evaluate<number>(
        'document.documentElement.scrollWidth - document.documentElement.clientWidth',
      )
    await expect.poll(widths).toBe(0)
    await block('smoother').scrollIntoViewIfNeeded()
    expect(await block('smoother').isVisible()).toBe(true)
  })

  test('a daemon that is gone is said so', async () => {
    const own = await startDaemon(['--bench', '--data', `${data}-own`])
    await page.goto(`${own.url}/#/chain`)
    await block('smoother').waitFor()
    await own.kill()
    await page.getByRole('alert').first().waitFor()
    rmSync(`${data}-own`, { recursive: true, force: true })
  })
})
