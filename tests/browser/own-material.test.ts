import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { Bend } from '../../server/messages/bends.ts'
import type { BendPage } from '../../server/messages/find.ts'
import { type Daemon, startDaemon } from '../support/daemon.ts'
import { skipWithout } from '../support/needs.ts'
import { makeScenes } from './scene.ts'
import {
  type Browser,
  listenForFaults,
  openBrowser,
  PICTURES,
  pictureFolder,
  type Stage,
  takePicture,
} from './stage.ts'

const BUILT = new URL('../../dist/dashboard/index.html', import.meta.url).pathname

/** Goes on with Tab until the focus is where it is to be, as who has no mouse does. */
async function tabTo(page: Page, id: string): Promise<void> {
  for (let press = 0; press < 60; press++) {
    if ((await page.evaluate('document.activeElement.id')) === id) return
    await page.keyboard.press('Tab')
  }
  throw new Error(`Tab never led to #${id}.`)
}

const BRONZE = [
  ['ownName', 'Silicon bronze'],
  ['modulus', '105'],
  ['yield', '31.2 ksi'],
  ['tangent', '1300'],
  ['source', 'certificate of the mill'],
] as const

/** Chooses "My own…" and fills it in, all by keyboard. */
async function typeBronze(page: Page): Promise<void> {
  await page.locator('#material').focus()
  await page.keyboard.press('End')
  await page.keyboard.press('ArrowUp')
  for (const [id, text] of BRONZE) {
    await tabTo(page, id)
    await page.keyboard.type(text)
  }
}

describe.skipIf(skipWithout('chromium'))('a metal of the shop’s own on the Set-up page', () => {
  const scenes = makeScenes()
  let stage: Stage
  let page: Page
  let faults: readonly string[]

  beforeEach(async () => {
    ;({ stage, page, faults } = await scenes.open({ ready: false }))
    await page.goto(stage.url)
    await page.getByRole('heading', { name: 'Set-up' }).waitFor()
  })

  const send = () => page.getByRole('button', { name: 'Use this' }).click()
  const example = () => page.getByRole('button', { name: /boat-rail example/ }).click()
  const helpOf = (field: string) => page.locator(`#${field}-help`).textContent()
  const line = () => page.locator('.expected-line')
  const expected = () => page.locator('.expected').textContent()
  const back = async () => {
    await page.goto(`${stage.url}/#/setup`)
    await page.locator('#material').waitFor()
  }

  test('an empty form says what it waits for, and asks the daemon nothing', async () => {
    const asked: string[] = []
    page.on('request', (request) => void asked.push(request.url()))
    await page.reload()
    await page.getByText('With tube, radius and material filled in').waitFor()
    expect(asked.filter((url) => url.includes('first-bend'))).toEqual([])
  })

  test('a row of the table has its springback at 90° with an interval', async () => {
    await example()
    await line().waitFor()
    expect(await line().textContent()).toMatch(
      /^At 90° about \d\.\d° springs back \(95 %: \d\.\d° to \d\.\d°\), so it is to be taken to 9\d\.\d°\.$/,
    )
    expect(await expected()).toContain('Nothing to beware of')
  })

  test('warnings stand with their source before anything is bent', async () => {
    await example()
    await page.locator('#wall').fill('0.7 mm')
    await page.getByText('The wall is too thin for this radius').waitFor()
    expect(await expected()).toContain('Source: common practice, no source; 8 %: ASME B31.3')
    await page.locator('#clr').fill('5000')
    await page.locator('#material').selectOption('ti-grade-9')
    await page.getByText('will not take a set on this radius').waitFor()
    expect(await expected()).not.toContain('springs back (')
  })

  test('is entered by keyboard, foretold, and taken into use with all its figures', async () => {
    await example()
    await typeBronze(page)
    expect(await page.locator('#material').inputValue()).toBe('own')
    await page.locator('.expected-line').waitFor()
    await page.keyboard.press('Enter')
    await page.waitForURL(/#\/bend$/)
    expect(stage.station.state().setup?.setup.tube).toMatchObject({
      material: 'Silicon bronze',
      ownMaterial: {
        knownFrom: 'figures',
        modulusGpa: 105,
        // 31.2 × 6.894757 MPa to the ksi.
        yieldMpa: 215.116428,
        tangentModulusMpa: 1300,
        source: 'certificate of the mill',
        judged: ['slopeSpread', 'unloadingFactor'],
      },
    })
    expect(faults).toEqual([])
  })

  test('is offered again, and an edit makes another', async () => {
    await example()
    await typeBronze(page)
    await send()
    await page.waitForURL(/#\/bend$/)
    await back()
    await page
      .locator('#material option', { hasText: 'Silicon bronze' })
      .waitFor({ state: 'attached' })
    await expect.poll(() => page.locator('#material').inputValue()).toBe('used 0')
    expect(await page.locator('#modulus').inputValue()).toBe('105')
    expect(await page.locator('#spread').inputValue()).toBe('')
    await page.locator('#material').selectOption('316l-annealed')
    expect(await page.locator('#modulus').count()).toBe(0)
    await page.locator('#material').selectOption('used 0')
    expect(await page.locator('#ownName').inputValue()).toBe('Silicon bronze')
    await page.locator('#yield').fill('250')
    expect(await page.locator('#material').inputValue()).toBe('own')
    await page.locator('#yield').fill('215.116428')
    expect(await page.locator('#material').inputValue()).toBe('used 0')
    await page.locator('#material').selectOption('own')
    expect(await page.locator('#ownName').inputValue()).toBe('')
  })

  test('K and n are asked for instead of a tangent modulus', async () => {
    await example()
    await page.locator('#material').selectOption('own')
    await page.locator('#hardening').selectOption('power')
    expect(await page.locator('#tangent').count()).toBe(0)
    await send()
    expect(await helpOf('strength')).toBe('Fill this in.')
    expect(await helpOf('exponent')).toBe('Fill this in.')
    expect(await page.evaluate('document.activeElement.id')).toBe('ownName')
  })

  test('one that is not known needs a name only, and says what its first bends will be', async () => {
    await example()
    await line().waitFor()
    const halfOf = async () => {
      const [, low = '', high = ''] =
        /95 %: ([\d.]+)° to ([\d.]+)°/.exec((await line().textContent()) ?? '') ?? []
      return Number(high) - Number(low)
    }
    const known = await halfOf()
    await page.locator('#material').selectOption('bends')
    await page.getByText('stop short, let off, look, and go again').waitFor()
    await send()
    expect(await helpOf('ownName')).toBe('Fill this in.')
    await page.locator('#ownName').fill('From the van')
    await page.locator('.expected [data-old]').waitFor({ state: 'detached' })
    await expect.poll(halfOf).toBeGreaterThan(known)
    await send()
    await page.waitForURL(/#\/bend$/)
    expect(stage.station.state().setup?.setup.tube.ownMaterial?.knownFrom).toBe('bends')
  })

  test.each([
    ['modulus', '0', /from 1 to 1000 GPa/],
    ['modulus', '105000 GPa', /from 1 to 1000 GPa/],
    ['yield', '4000', /check the units/],
    ['tangent', '105 GPa', /below Young's/],
    ['unloading', '1.2', /at most 1/],
    ['spread', '0.22', /between 0.02 and 1/],
    ['ownName', '6061 T6', /is in the table as 6061-t6/],
    ['ownName', '?', /needs a letter or digit/],
  ])(
    '%s "%s" is refused beside its field, in the daemon’s sentence',
    async (field, text, words) => {
      await example()
      await typeBronze(page)
      await page.locator(`#${field}`).fill(text)
      await send()
      await page.locator(`.field-wrong #${field}`).waitFor()
      expect(await helpOf(field)).toMatch(words)
      expect(stage.station.state().setup).toBeNull()
    },
  )

  test.each([
    ['modulus', 'stiff', 'Write a stress, such as 250, 250 MPa or 36 ksi.'],
    ['yield', '-3', 'Write a stress, such as 250, 250 MPa or 36 ksi.'],
    ['spread', 'wide', 'Write a number.'],
    ['source', ' ', 'Fill this in.'],
  ])('%s "%s" is seen by the form itself', async (field, text, sentence) => {
    await example()
    await typeBronze(page)
    await page.locator(`#${field}`).fill(text)
    await send()
    expect(await helpOf(field)).toBe(sentence)
    expect(stage.station.state().setup).toBeNull()
  })

  test.each(PICTURES)('pictures: $size.name, $ground', async ({ size, ground }) => {
    const folder = pictureFolder()
    await page.setViewportSize(size)
    await page.emulateMedia({ colorScheme: ground })
    await example()
    await typeBronze(page)
    await page.locator('.expected-line').waitFor()
    await page.locator('.expected [data-old]').waitFor({ state: 'detached' })
    const path = join(folder, `own-metal-${size.name}-${ground}.png`)
    const picture = await takePicture(page, path)
    expect(picture.byteLength).toBeGreaterThan(10_000)
    const isWide = 'document.documentElement.scrollWidth > document.documentElement.clientWidth'
    expect(await page.evaluate(isWide)).toBe(false)
  })
})

describe.skipIf(skipWithout('chromium'))('a metal of the shop’s own on the built-in bench', () => {
  const data = mkdtempSync(join(tmpdir(), 'overbend-own-metal-'))
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

  test('is entered by keyboard, bent, and stands in the record with its figures', async () => {
    const page = await browser.context.newPage()
    const faults = listenForFaults(page)
    await page.goto(`${daemon.url}/#/setup`)
    await page.locator('#material').waitFor()
    await page.getByRole('button', { name: /boat-rail example/ }).click()
    await typeBronze(page)
    await page.locator('.expected [data-old]').waitFor({ state: 'detached' })
    expect(await page.locator('.expected-line').textContent()).toContain('At 90° about')
    // The bench bends by itself: in mid-bend a set-up is refused, and asked for again.
    await expect
      .poll(async () => {
        if (!page.url().endsWith('#/bend'))
          await page.getByRole('button', { name: 'Use this' }).click({ timeout: 2000 })
        return page.url()
      })
      .toMatch(/#\/bend$/)
    const isOfBronze = ({ tube }: Bend) => tube.material === 'Silicon bronze'
    const newest = async () => {
      const [row] = (await daemon.get<BendPage>('/api/bends?limit=1')).bends
      return row === undefined ? null : await daemon.get<Bend>(`/api/bends/${row.id}`)
    }
    let bend: Bend | null = null
    await expect
      .poll(
        async () => {
          bend = await newest()
          return bend !== null && isOfBronze(bend)
        },
        { timeout: 120_000 },
      )
      .toBe(true)
    const { id, prediction } = bend as unknown as Bend
    expect(prediction?.springbackDeg).toBeGreaterThan(0.5)
    await page.goto(`${daemon.url}/#/history/${id}`)
    await page.getByRole('heading', { name: `Bend ${id}` }).waitFor()
    const text = (await page.locator('main').textContent()) ?? ''
    expect(text).toContain('Silicon bronze, the shop’s own')
    expect(text).toContain('E 105 GPa, yield 215.116428 MPa, tangent modulus 1300 MPa')
    expect(text).toContain('certificate of the mill')
    // A set-up that was refused in mid-bend is a refusal of the daemon, which Chromium logs.
    expect(faults.filter((fault) => !fault.includes('409'))).toEqual([])
    await page.close()
  })
})
