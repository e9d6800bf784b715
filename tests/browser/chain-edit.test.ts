import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { type Daemon, startDaemon, until } from '../support/daemon.ts'
import { skipWithout } from '../support/needs.ts'
import {
  type Browser,
  listenForFaults,
  openBrowser,
  PICTURES,
  pictureFolder,
  takePicture,
} from './stage.ts'

const BUILT = new URL('../../dist/dashboard/index.html', import.meta.url).pathname
/** Bends that the draft is proved on. */
const STORED = 3
/** More than the page has places for the keyboard. */
const TABS_MAX = 150

interface Bends {
  readonly bends: readonly { readonly id: number }[]
  readonly total: number
}

describe.skipIf(skipWithout('chromium'))('the chain changed on a running bench', () => {
  const data = mkdtempSync(join(tmpdir(), 'overbend-chain-edit-'))
  const folder = pictureFolder()
  let daemon: Daemon
  let browser: Browser
  let page: Page
  let faults: string[]

  const total = async () => (await daemon.get<Bends>('/api/bends?limit=1')).total
  const bench = (act: object) => daemon.send('POST', '/api/bench', act)
  const phase = async () => (await daemon.get<{ phase: string }>('/api/station')).phase
  const running = async () => (await daemon.get<{ revision: string }>('/api/chain')).revision

  beforeAll(async () => {
    if (!existsSync(BUILT)) throw new Error('The dashboard is not built: npm run build.')
    daemon = await startDaemon(['--bench', '--bench-speed', '10', '--data', data])
    browser = await openBrowser()
    await until(total, (count) => count >= STORED, { seconds: 110, what: 'bends to prove on' })
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
    await button('Change').waitFor()
    return () => page.close()
  })

  const button = (name: string) => page.getByRole('button', { name, exact: true })
  const block = (id: string) => page.locator(`.chain-drawing [data-block="${id}"]`)
  const sheet = (name: string | RegExp) => page.getByRole('region', { name })
  const accepted = () => page.locator('.draft-state[data-state="accepted"]')

  async function change(): Promise<void> {
    await button('Change').click()
    await accepted().waitFor()
    await block('smoother').waitFor()
  }

  /** As whoever has no mouse: from where the keyboard is, on to a place that can be reached. */
  async function tabTo(place: Locator): Promise<void> {
    await place.waitFor()
    for (let tabs = 0; tabs < TABS_MAX; tabs++) {
      if (await place.evaluate((element) => element === element.ownerDocument.activeElement)) return
      await page.keyboard.press('Tab')
    }
    throw new Error(`The keyboard does not come to ${place}.`)
  }
  async function press(place: Locator): Promise<void> {
    await tabTo(place)
    await page.keyboard.press('Enter')
  }
  async function type(place: Locator, text: string): Promise<void> {
    await tabTo(place)
    await page.keyboard.press('Control+A')
    await page.keyboard.type(text)
    await page.keyboard.press('Enter')
  }

  test('by keyboard alone a notch is put in, proved on three stored bends, and applied when the bend is done', async () => {
    await press(button('Change'))
    await accepted().waitFor()
    await press(block('scale'))
    await press(
      sheet('scale').getByRole('button', { name: 'scale.angle → calibration.angle', exact: true }),
    )
    await press(
      sheet('Connection scale.angle to calibration.angle').getByRole('button', {
        name: 'Insert notch',
        exact: true,
      }),
    )
    await sheet('notch').waitFor()
    await type(page.getByLabel('centreHz', { exact: true }), '20')
    await page.getByText('New: notch.', { exact: true }).waitFor()
    await accepted().waitFor()
    await expect.poll(() => block('notch').getAttribute('data-change')).toBe('added')

    await press(button('Prove'))
    await press(button(`Prove on ${STORED} bends`))
    const rows = page.locator('.proof-table tbody tr')
    await expect.poll(() => rows.count(), { timeout: 60_000 }).toBe(STORED)
    for (const row of await rows.all()) expect(await row.textContent()).toMatch(/\d+\.\d\d°/)
    await page.locator('.proof-trace canvas').waitFor()

    // A bend that is under way is the hand's from then on: it stays open until the ram is worked.
    await expect.poll(phase, { interval: 20, timeout: 60_000 }).toBe('bending')
    await bench({ mode: 'hand' })
    await bench({ ram: 'hold' })
    const before = await total()
    await press(button('Apply'))
    await type(page.getByLabel('Your name'), 'N. Tester')
    await tabTo(page.getByLabel('Why', { exact: true }))
    await page.keyboard.type('The pump hums: <b>20 Hz</b>.')
    await page.keyboard.press('Enter')
    await page.getByText('it is applied when this bend is done', { exact: false }).waitFor()
    expect(await running()).toBe('die-encoder r1')
    expect(await total()).toBe(before)

    await bench({ mode: 'self' })
    await page.getByText('Revision die-encoder r2.', { exact: false }).waitFor({ timeout: 60_000 })
    await block('notch').waitFor()
    await expect.poll(total, { timeout: 60_000 }).toBeGreaterThanOrEqual(before + 2)
    const chainOf = async (id: number) =>
      (await daemon.get<{ chainRevision: string }>(`/api/bends/${id}`)).chainRevision
    expect(await chainOf(before + 1)).toBe('die-encoder r1')
    expect(await chainOf(before + 2)).toBe('die-encoder r2')
    expect(faults).toEqual([])
  })

  test('the list of revisions says who, when and why; an earlier chain is the draft to go back', async () => {
    await button('Revisions').click()
    const row = page.getByRole('row', { name: /^die-encoder r2/ })
    await row.waitFor()
    expect(await row.textContent()).toContain('N. Tester')
    expect(await row.textContent()).toContain('The pump hums: <b>20 Hz</b>.')
    await button('Open the shipped chain as draft').click()
    await page.getByText(/^Removed: .*\bnotch\b/).waitFor()
    await accepted().waitFor()
    await button('Discard draft').click()
    await page.locator('.draft-discard').getByRole('button', { name: 'Discard draft' }).click()
    await block('notch').waitFor()
    await button('Change').waitFor()
  })

  test('what is wrong is said beside block and port, and taken back by Ctrl+Z', async () => {
    await change()
    await block('stop-cue').click()
    const input = sheet('stop-cue').getByLabel('rate (deg/s)', { exact: true })
    await input.selectOption('')
    const refusal = page.locator('.draft-state[data-state="refused"]')
    await refusal.waitFor()
    expect(await refusal.textContent()).toContain('stop-cue.rate is not connected')
    await sheet('stop-cue').getByText('stop-cue.rate is not connected', { exact: false }).waitFor()
    await expect.poll(() => block('stop-cue').getAttribute('data-change')).toBe('fault')
    expect(await button('Apply').getAttribute('aria-disabled')).toBe('true')
    await sheet('stop-cue').getByRole('heading', { level: 2 }).focus()
    await page.keyboard.press('Control+z')
    await accepted().waitFor()
    await page.getByText('No change yet.', { exact: true }).waitFor()
    await page.keyboard.press('Control+Shift+Z')
    await refusal.waitFor()
    await page.reload()
    await refusal.waitFor()
    await block('stop-cue').waitFor()
    expect(await input.count()).toBe(0)
    expect(await page.locator('.draft-changes').textContent()).toContain('Disconnected')
  })

  test('a number out of range stays beside its field; the draft is as before', async () => {
    await change()
    await block('smoother').click()
    const field = page.getByLabel('noiseDeg', { exact: true })
    await field.fill('50')
    await field.press('Enter')
    await page.getByText('It must be ≥ 0.0001, ≤ 10.', { exact: true }).waitFor()
    await page.getByText('No change yet.', { exact: true }).waitFor()
    await field.fill('0.05')
    await field.press('Enter')
    await page.getByText('Changed: smoother.', { exact: true }).waitFor()
    await expect.poll(() => block('smoother').getAttribute('aria-label')).toContain('changed')
  })

  test('a connection is opened by a press on its line', async () => {
    await change()
    const line = page.locator('.line-to-hit').first()
    const points = ((await line.getAttribute('points')) ?? '').split(' ')
    const [x = 0, y = 0] = (points[0] ?? '').split(',').map(Number)
    const box = await page.locator('.chain-scroll svg').boundingBox()
    const view = ((await page.locator('.chain-scroll svg').getAttribute('viewBox')) ?? '').split(
      ' ',
    )
    const scale = (box?.width ?? 0) / Number(view[2])
    await page.locator('.chain-scroll svg').click({
      position: { x: (x + 14) * scale, y: y * scale },
    })
    await sheet(/^Connection /).waitFor()
  })

  test('as text: what reads as a chain is the draft, what does not is said to be none', async () => {
    await change()
    await button('As text').click()
    const text = page.getByRole('textbox', { name: 'The draft as text' })
    const as = JSON.parse(await text.inputValue()) as { blocks: { id: string }[] }
    await text.fill('{ "format": ')
    await page.getByText('This is not JSON yet', { exact: false }).waitFor()
    await text.fill(JSON.stringify({ ...as, connections: 5 }))
    await page.getByText('The chain file is refused', { exact: false }).waitFor()
    const blocks = as.blocks.filter(({ id }) => id !== 'spike-guard')
    await text.fill(JSON.stringify({ ...as, blocks }))
    await page.getByText('Removed: spike-guard.', { exact: true }).waitFor()
    await page.locator('.draft-state[data-state="refused"]').waitFor()
    await button('Undo').click()
    await accepted().waitFor()
    expect(JSON.parse(await text.inputValue())).toEqual(as)
  })

  test('a block is added, connected, renamed and taken out', async () => {
    await change()
    await button('Add a block').click()
    await page.getByLabel('Block of the catalogue').selectOption('low-pass')
    await button('Add').click()
    const input = sheet('low-pass').getByLabel('value (deg)', { exact: true })
    await input.selectOption('smoother.rate')
    await accepted().waitFor()
    await sheet('low-pass').getByLabel('value (deg/s)', { exact: true }).waitFor()
    const name = page.getByLabel('Name in this chain')
    await name.fill('Calm rate')
    await name.press('Enter')
    await page.getByRole('alert').getByText('is no name', { exact: false }).waitFor()
    await name.fill('calm-rate')
    await name.press('Enter')
    await block('calm-rate').waitFor()
    await sheet(/^calm-rate/)
      .getByRole('button', { name: 'Remove block' })
      .click()
    await page.getByText('No change yet.', { exact: true }).waitFor()
  })

  test.each(PICTURES)('its pictures, $size.name, $ground', async ({ size, ground }) => {
    await page.setViewportSize(size)
    await page.emulateMedia({ colorScheme: ground })
    await change()
    await block('smoother').click()
    await page.getByLabel('noiseDeg', { exact: true }).fill('0.05')
    await page.getByLabel('noiseDeg', { exact: true }).press('Enter')
    await button('smoother.angle → stop-cue.angle').click()
    const shot = async (what: string) => {
      const wide = 'document.documentElement.scrollWidth - document.documentElement.clientWidth'
      await expect.poll(() => page.evaluate(wide)).toBe(0)
      const path = join(folder, `chain-${what}-${size.name}-${ground}.png`)
      await takePicture(page, path)
    }
    await shot('connection')
    await button('Insert median').click()
    await sheet('median').waitFor()
    await accepted().waitFor()
    await shot('draft')
    for (const target of await page.locator('main button:visible').all()) {
      const box = await target.boundingBox()
      expect(box?.height ?? 0, (await target.textContent()) ?? '').toBeGreaterThanOrEqual(44)
    }
    await sheet('median').getByLabel('value (deg)', { exact: true }).selectOption('')
    await page.locator('.draft-state[data-state="refused"]').waitFor()
    await shot('refused')
    await button('Undo').click()
    await accepted().waitFor()
    await button('Prove').click()
    await page.getByRole('button', { name: /^Prove on \d bends$/ }).click()
    await page.locator('.proof-trace canvas').waitFor({ timeout: 60_000 })
    await shot('proof')
    await button('Apply').click()
    await shot('apply')
  })
})
