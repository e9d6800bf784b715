import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, inject, test } from 'vitest'
import { rangeOf } from '../../dashboard/pages/springback/chart-range.ts'
import { runDemo } from '../../server/demo.ts'
import type { Bend } from '../../server/messages/bends.ts'
import { skipWithout } from '../support/needs.ts'
import { makeRig } from '../support/station-rig.ts'
import { bendTo, openRigStage, type Rig } from './rig-stage.ts'
import {
  type Browser,
  listenForFaults,
  openBrowser,
  PICTURES,
  pictureFolder,
  SIZES,
  takePicture,
} from './stage.ts'

/** Bends of two lots, and one more that gave back 1.4° more than its tube can. */
const BENDS = 34
const SLIPPED_DEG = 1.4

/** A record as it was handed in: without what the history adds. */
function handedIn(bend: Bend) {
  const { id, lot, part, piece, bendNumber, operator, ...rest } = bend
  const { rawLines, rawSha256, previousHash, hash, ...handed } = rest
  return handed
}

/** The demo's own day, and after it a bend whose tube slipped. */
async function fillFolder(dataDir: string): Promise<void> {
  const { station, history, clock, bench, folder, close } = makeRig({ seed: 4, dataDir })
  station.start()
  runDemo(station)
  bendTo({ station, history, clock, bench, folder, close }, BENDS)
  const [bend, raw] = [history.bend(BENDS - 2), history.raw(BENDS - 2)]
  if (bend?.releasedDeg == null || bend.springbackDeg === null || raw === null)
    throw new Error('There is no such bend.')
  const springbackDeg = bend.springbackDeg + SLIPPED_DEG
  const releasedDeg = bend.releasedDeg - SLIPPED_DEG
  history.append({ ...handedIn(bend), springbackDeg, releasedDeg }, raw)
  await close()
}

/** Where a bend stands on the page's chart, from the ends of its axes. */
async function placeOf(page: Page, rig: Rig, bendId: number) {
  const view = rig.station.springback.view()
  const { endDeg, topDeg } = rangeOf(view)
  const point = view.points.find(({ id }) => id === bendId)
  const box = await page.locator('.springback-chart .u-over').boundingBox()
  if (!box || !point) throw new Error('The bend is not on the chart.')
  const x = box.x + (point.loadedDeg / endDeg) * box.width
  const y = box.y + (1 - point.springbackDeg / topDeg) * box.height
  return { x, y }
}

describe.skipIf(skipWithout('chromium'))('the Springback page in Chromium', () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'overbend-known-'))
  const folder = pictureFolder()
  let dashboard: string
  let browser: Browser
  let stage: Awaited<ReturnType<typeof openRigStage>>
  let page: Page
  let faults: string[]

  beforeAll(async () => {
    dashboard = inject('dashboardDir')
    browser = await openBrowser()
    await fillFolder(dataDir)
    stage = await openRigStage(dashboard, { seed: 5, dataDir })
    stage.rig.station.start()
    runDemo(stage.rig.station)
    bendTo(stage.rig, BENDS + 5)
  })
  afterAll(async () => {
    await browser?.close()
    await stage?.close()
    rmSync(dataDir, { recursive: true, force: true })
  })
  beforeEach(async () => {
    page = await browser.context.newPage()
    faults = listenForFaults(page)
    await page.goto(`${stage.url}/#/springback`)
    await page.locator('.points tbody tr').first().waitFor()
    await page.locator('.springback-chart canvas').waitFor()
    return () => page.close()
  })

  const main = () => page.locator('main')
  const row = (bendId: number) =>
    page.locator('.points tbody tr', {
      has: page.getByRole('link', { name: `${bendId}`, exact: true }),
    })

  test('is one of the pages in the line over the sheet', async () => {
    await page.goto(`${stage.url}/#/history`)
    await page.getByRole('navigation').getByRole('link', { name: 'Springback' }).click()
    await page.getByRole('heading', { name: 'Springback', level: 1 }).waitFor()
    expect(await page.locator('nav a[aria-current=page]').textContent()).toBe('Springback')
  })

  test('says in plain words what the API says, and each number is the view’s', async () => {
    const view = stage.rig.station.springback.view()
    expect(await page.locator('.plain-words li').allTextContents()).toEqual(view.sentences)
    expect(view.sentences.join(' ')).toMatch(
      /This lot springs \d\.\d° (?:more|less) at \d+° than the last/,
    )
    const steps = await page.locator('.steps tbody tr td:nth-child(2)').allTextContents()
    expect(steps).toEqual(['–', ...view.steps.slice(1).map(({ bends }) => `${bends}`)])
    expect(await main().textContent()).toContain('Simulated')
    expect(faults).toEqual([])
  })

  test('a press on a point opens the record of that bend', async () => {
    const apart = BENDS + 1
    const { x, y } = await placeOf(page, stage.rig, apart)
    await page.mouse.move(x + 3, y - 3)
    await page.locator(`.springback-chart[data-on="${apart}"]`).waitFor()
    await page.getByText(new RegExp(`^Bend ${apart}: from `)).waitFor()
    await page.mouse.click(x + 3, y - 3)
    await page.getByRole('heading', { name: `Bend ${apart}`, exact: true }).waitFor()
    expect(page.url()).toContain(`#/history/${apart}`)
  })

  test('so does its number in the table, by the keyboard', async () => {
    const newest = stage.rig.station.springback.view().points.at(-1)?.id
    const link = page.locator('.points').getByRole('link', { name: `${newest}`, exact: true })
    await link.focus()
    await page.keyboard.press('Enter')
    await page.getByRole('heading', { name: `Bend ${newest}`, exact: true }).waitFor()
  })

  test('one set apart says why and by how much, and a person puts it back with name and reason', async () => {
    const apart = BENDS + 1
    const point = () => stage.rig.station.springback.view().points.find(({ id }) => id === apart)
    expect(point()?.standing).toBe('apart')
    const text = (await row(apart).textContent()) ?? ''
    for (const part of ['set apart', point()?.why, `+${point()?.offDeg.toFixed(2)}°`])
      expect(text).toContain(part)
    await page.getByRole('button', { name: `Put bend ${apart} back` }).click()
    const form = page.getByRole('form', { name: `Put bend ${apart} back` })
    await form.getByLabel('Your name').fill('')
    await form.getByRole('button', { name: 'Put back' }).click()
    await form.getByText('Fill this in.').first().waitFor()
    expect(point()?.decision).toBeNull()
    await form.getByLabel('Your name').fill('N. Tester')
    await form.getByLabel('Why').fill('The tube was measured again: <b>it is so</b>.')
    await page.keyboard.press('Enter')
    await page
      .getByRole('status')
      .getByText(`Decided on bend ${apart}.`, { exact: false })
      .waitFor()
    await row(apart).getByText('put back by N. Tester', { exact: false }).waitFor()
    expect(await row(apart).textContent()).toContain('<b>it is so</b>')
    expect(point()).toMatchObject({ standing: 'counts', decision: { who: 'N. Tester' } })
    await page.getByRole('button', { name: `Leave bend ${apart} to the others again` }).click()
    const undo = page.getByRole('form', { name: `Leave bend ${apart} to the others again` })
    await undo.getByLabel('Why').fill('It was another tube.')
    await page.keyboard.press('Enter')
    await row(apart).getByText('as found again by', { exact: false }).waitFor()
    expect(await row(apart).textContent()).toContain('set apart')
    expect(point()?.standing).toBe('apart')
    expect(faults).toEqual([])
  })

  test('a bend that counts is taken out, or left where it is', async () => {
    const { points } = stage.rig.station.springback.view()
    const id = points.findLast(({ standing }) => standing === 'counts')?.id ?? 0
    const standing = () =>
      stage.rig.station.springback.view().points.find((point) => point.id === id)?.standing
    const button = page.getByRole('button', { name: `Take bend ${id} out` })
    await button.click()
    await page.getByRole('button', { name: 'Leave it', exact: true }).click()
    expect(await page.locator('.decide').count()).toBe(0)
    expect(standing()).toBe('counts')
    await button.click()
    await page.getByLabel('Why').fill('The clamp had slipped.')
    await page.getByRole('form').getByRole('button', { name: 'Take out', exact: true }).click()
    await row(id).getByText('taken out by', { exact: false }).waitFor()
    expect(standing()).toBe('taken-out')
  })

  test('the lots stand in a table, and each opens what is known of it', async () => {
    const { rows } = stage.rig.station.springback.lots()
    const lots = page.locator('.lots tbody tr')
    expect(await lots.count()).toBe(rows.length)
    const first = (await lots.first().textContent()) ?? ''
    const [last] = rows
    for (const part of [
      last?.tube.lot,
      `${last?.bends}`,
      `${last?.expected?.springbackDeg.toFixed(2)}°`,
      `tube ${last?.shares?.tubeDeg.toFixed(2)}°`,
    ])
      expect(first).toContain(part)
    const other = rows[1]
    await lots
      .nth(1)
      .getByRole('link', { name: other?.tube.lot ?? '', exact: true })
      .click()
    await page.locator('.record-head', { hasText: `${other?.tube.lot} on` }).waitFor()
    expect(page.url()).toContain(`#/springback/${other?.setupId}`)
    await page.getByRole('link', { name: 'Of what is on the bender now' }).click()
    await page.getByText('on the bender now', { exact: true }).waitFor()
  })

  test.each(SIZES)(
    'on a $name nothing needs a sideways move, and what is pressed is as large as a finger',
    async ({ width, height }) => {
      await page.setViewportSize({ width, height })
      const wide = 'document.documentElement.scrollWidth - document.documentElement.clientWidth'
      await expect.poll(() => page.evaluate(wide)).toBe(0)
      for (const table of await page.locator('.table-scroll').all())
        await expect
          .poll(() => table.evaluate((cell) => cell.scrollWidth - cell.clientWidth))
          .toBe(0)
      for (const target of await page.locator('main a:visible, main button:visible').all()) {
        const box = await target.boundingBox()
        expect(Math.min(box?.width ?? 0, box?.height ?? 0)).toBeGreaterThanOrEqual(44)
      }
    },
  )

  test.each(PICTURES)('its picture, $size.name, $ground', async ({ size, ground }) => {
    await page.setViewportSize(size)
    await page.emulateMedia({ colorScheme: ground })
    await page.locator('.lots tbody tr').first().waitFor()
    await page.waitForTimeout(250)
    const path = join(folder, `springback-${size.name}-${ground}.png`)
    const picture = await takePicture(page, path)
    expect(picture.byteLength).toBeGreaterThan(10_000)
    expect(faults).toEqual([])
  })
})

describe.skipIf(skipWithout('chromium'))('the Springback page of a new shop', () => {
  let dashboard: string
  let browser: Browser
  let stage: Awaited<ReturnType<typeof openRigStage>>
  let page: Page

  beforeAll(async () => {
    dashboard = inject('dashboardDir')
    browser = await openBrowser()
  })
  afterAll(() => browser?.close())
  beforeEach(async () => {
    stage = await openRigStage(dashboard, { seed: 6 })
    stage.rig.station.start()
    page = await browser.context.newPage()
    return async () => {
      await page.close()
      await stage.close()
    }
  })

  const words = async () => (await page.locator('.plain-words li').allTextContents()).join(' ')
  const withinDeg = async () => Number(/within ±([\d.]+)°/.exec(await words())?.[1])

  test('sends to Set-up where nothing is set up', async () => {
    await page.goto(`${stage.url}/#/springback`)
    await page.getByText('Choose a set-up and a job first.').waitFor()
    await page.getByText('No lot was bent yet.').waitFor()
    await page.getByRole('link', { name: 'Go to Set-up' }).click()
    await page.getByRole('heading', { name: 'Set-up', level: 1 }).waitFor()
  })

  test('says that nothing can be read where the history cannot', async () => {
    runDemo(stage.rig.station)
    stage.rig.history.close()
    await page.goto(`${stage.url}/#/springback`)
    await page.locator('[role=alert]', { hasText: 'was closed before' }).waitFor()
    expect(await page.getByRole('link', { name: 'Go to Set-up' }).count()).toBe(0)
  })

  test('from the first bend to trust: the band tightens bend by bend, and again with the next lot', async () => {
    const faults = listenForFaults(page)
    runDemo(stage.rig.station)
    await page.goto(`${stage.url}/#/springback`)
    await page.getByText('No bend of this set-up is on record yet.').waitFor()
    expect(await words()).toContain("From the section's mechanics alone")
    const first = await withinDeg()
    bendTo(stage.rig, 1)
    await expect.poll(words).toContain('From 1 bend of this set-up')
    const second = await withinDeg()
    expect(second).toBeLessThan(first)
    bendTo(stage.rig, 14)
    await expect.poll(words).toContain('From 14 bends of this set-up')
    expect(await withinDeg()).toBeLessThan(first / 2)
    bendTo(stage.rig, 15)
    await expect
      .poll(words)
      .toContain('No bend of this lot counts yet. From 15 bends of its material')
    const nextLot = await withinDeg()
    expect(nextLot).toBeLessThan(first)
    bendTo(stage.rig, 24)
    await expect.poll(words).toContain('From 9 bends of this set-up')
    expect(await withinDeg()).toBeLessThan(nextLot)
    expect(await words()).toMatch(/than the last, RT-2207|cannot be told apart/)
    expect(faults).toEqual([])
  })
})
