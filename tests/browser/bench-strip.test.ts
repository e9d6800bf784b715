import type { Page } from 'playwright-core'
import { beforeEach, describe, expect, test } from 'vitest'
import { skipWithout } from '../support/needs.ts'
import { makeScenes } from './scene.ts'
import type { Stage } from './stage.ts'

describe.skipIf(skipWithout('chromium'))('the strip of the built-in bench in Chromium', () => {
  const scenes = makeScenes()
  let stage: Stage
  let page: Page

  beforeEach(async () => {
    ;({ stage, page } = await scenes.open({ auto: false }))
    await page.setViewportSize({ width: 1920, height: 1080 })
  })

  const angle = () => stage.station.hello().trace.angleDeg.at(-1) ?? 0
  const ramButton = () => page.getByRole('button', { name: /Work the ram/ })

  async function bendTo(deg: number) {
    stage.goTo(() => stage.station.state().phase === 'no-datum')
    stage.station.step(100)
    stage.station.act({ act: 'datum' })
    stage.goTo(() => angle() >= deg)
  }

  async function open() {
    await page.goto(stage.url)
    await page.locator('.digits-line').waitFor()
  }

  test('the bench’s ram works while its button is held', async () => {
    await bendTo(20)
    await open()
    await page.getByRole('button', { name: 'By hand' }).click()
    const ram = ramButton()
    await expect.poll(() => ram.isEnabled()).toBe(true)
    await ram.hover()
    await page.mouse.down()
    await expect.poll(() => stage.station.state().bench?.ram).toBe('advance')
    await page.mouse.up()
    await expect.poll(() => stage.station.state().bench?.ram).toBe('hold')
  })

  test('a quick tap is over when the finger is off, however the network is', async () => {
    await bendTo(20)
    await open()
    await page.getByRole('button', { name: 'By hand' }).click()
    const ram = ramButton()
    await expect.poll(() => ram.isEnabled()).toBe(true)
    // The first order is held up on its way.
    await page.route('**/api/bench', async (route) => {
      if (route.request().postData()?.includes('advance')) await page.waitForTimeout(300)
      await route.continue()
    })
    await ram.click()
    await expect.poll(() => stage.station.acts.length).toBe(4)
    expect(stage.station.acts.slice(2)).toEqual([{ ram: 'advance' }, { ram: 'hold' }])
  })

  test('while there is no tube in the bench its ram is not offered, and the page says why', async () => {
    await bendTo(20)
    await open()
    const state = stage.station.state()
    if (!state.bench) throw new Error('no bench')
    const bench = { ...state.bench, mode: 'hand', ready: false } as const
    stage.station.say({ type: 'state', state: { ...state, bench } })
    const ram = ramButton()
    await expect.poll(() => ram.textContent()).toContain('the tube comes')
    expect(await ram.isDisabled()).toBe(true)
  })

  test('on a phone word, digits, acts and the ram are in sight at once', async () => {
    const [width, height] = [390, 844]
    await page.setViewportSize({ width, height })
    await bendTo(52)
    await open()
    const strip = await page.locator('.bench').boundingBox()
    if (!strip) throw new Error('no bench strip')
    expect(strip.y + strip.height).toBe(height)
    for (const selector of ['.cue-word', '.digits-line', '.facts', '.act-hold']) {
      const box = await page.locator(selector).boundingBox()
      expect((box?.y ?? height) + (box?.height ?? 0)).toBeLessThanOrEqual(strip.y)
    }
    await page.evaluate('scrollTo(0, document.documentElement.scrollHeight)')
    const last = await page.locator('.title-block').boundingBox()
    expect((last?.y ?? height) + (last?.height ?? 0)).toBeLessThanOrEqual(strip.y)
  })

  test('a real bender has no bench strip', async () => {
    await stage.close()
    stage = await scenes.stage({ bench: false })
    stage.goTo(() => angle() > 10)
    await open()
    expect(await page.locator('.bench').count()).toBe(0)
    expect(await page.locator('.simulated').count()).toBe(0)
  })
})
