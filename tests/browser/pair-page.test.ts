import type { Page } from 'playwright-core'
import { beforeEach, describe, expect, test } from 'vitest'
import { skipWithout } from '../support/needs.ts'
import { makeScenes } from './scene.ts'
import type { Stage } from './stage.ts'

const NOT_PAIRED = { code: 'not-paired', sentence: 'This device is not paired yet.' }
const WRONG = { code: 'wrong-code', sentence: 'That is not the code.' }

/**
 * A device from the network, as the browser of one sees the daemon: every door but the pairing one
 * answers 401. Played inside the browser, since a test on loopback is always let in.
 */
async function lockOut(page: Page, code: string): Promise<void> {
  let isPaired = false
  await page.routeWebSocket('**/live', (socket) => {
    if (isPaired) socket.connectToServer()
    else void socket.close()
  })
  await page.route('**/api/**', async (route) => {
    if (route.request().url().endsWith('/api/pair')) {
      isPaired = route.request().postDataJSON().code === code
      await route.fulfill({ status: isPaired ? 200 : 403, json: isPaired ? { done: true } : WRONG })
    } else if (isPaired) await route.continue()
    else await route.fulfill({ status: 401, json: NOT_PAIRED })
  })
}

describe.skipIf(skipWithout('chromium'))('a device that is not paired, in Chromium', () => {
  const scenes = makeScenes()
  let stage: Stage
  let page: Page

  beforeEach(async () => {
    ;({ stage, page } = await scenes.open())
    stage.goTo(() => stage.station.state().phase === 'bending')
    await lockOut(page, '271828')
    await page.goto(stage.url)
    await page.getByRole('heading', { name: 'Pair this device' }).waitFor()
  })

  const enter = async (code: string) => {
    await page.locator('#pair-code').fill(code)
    await page.getByRole('button', { name: 'Pair' }).click()
  }

  test('is asked for the code and shown nothing else', async () => {
    expect(await page.locator('.digits-line, .title-block').count()).toBe(0)
  })

  test('a wrong code is refused in the daemon’s own sentence', async () => {
    await enter('000000')
    await page.locator('.field-wrong').waitFor()
    expect(await page.locator('#pair-code-help').textContent()).toBe(WRONG.sentence)
  })

  test('the right code leads to the live angle', async () => {
    await enter(' 271828 ')
    await page.locator('.digits-line').waitFor({ timeout: 15_000 })
  })
})
