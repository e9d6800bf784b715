import type { Page } from 'playwright-core'
import { beforeEach, describe, expect, test } from 'vitest'
import type { Axes } from '../../server/messages/readout.ts'
import type { Setup } from '../../server/messages/setup.ts'
import { skipWithout } from '../support/needs.ts'
import { makeScenes } from './scene.ts'
import { SIZES, type Stage } from './stage.ts'

const at = (xG: number, yG: number, zG: number): Axes => ({ xG, yG, zG })
/** Offsets of 0.02, −0.01 and 0.05 g; gains of 1.01, 1 and 0.98. In the order of the guide. */
const SIDES = [
  ['z up', at(0.02, -0.01, 1.03)],
  ['z down', at(0.02, -0.01, -0.93)],
  ['x up', at(1.03, -0.01, 0.05)],
  ['x down', at(-0.99, -0.01, 0.05)],
  ['y up', at(0.02, 0.99, 0.05)],
  ['y down', at(0.02, -1.01, 0.05)],
] as const

describe.skipIf(skipWithout('chromium'))('six sides on the Sensor page in Chromium', () => {
  const scenes = makeScenes()
  let stage: Stage
  let page: Page
  let faults: readonly string[]
  /** The fake board reads it whenever it is asked. */
  let gravity: { xG: number; yG: number; zG: number }

  beforeEach(async () => {
    gravity = { ...at(0, 0, 1) }
    ;({ stage, page, faults } = await scenes.open({ auto: false, gravity }))
    await page.goto(`${stage.url}/#/sensor`)
    await page.getByRole('heading', { name: 'Sensor', exact: true }).waitFor()
  })

  const axes = () => page.getByRole('region', { name: 'Axes', exact: true })
  const takeButton = () => axes().getByRole('button', { name: /^Take this side/ })
  const status = () => axes().getByRole('status')
  const inForce = () => stage.station.readout.state().axes

  function useMount(mount: Setup['sensor']['mount']) {
    const { setup } = stage.station.state().setup!
    stage.station.useSetup({ ...setup, sensor: { ...setup.sensor, mount } })
  }

  async function begin() {
    useMount('swing-tilt')
    await axes().getByRole('button', { name: 'Take the six sides' }).click()
  }

  async function take(name: string, shown: Axes) {
    Object.assign(gravity, shown)
    await axes()
      .getByRole('button', { name: `Take this side: ${name}` })
      .click()
    await axes().locator('.sides li', { hasText: name }).getByText('taken').waitFor()
  }

  test('are asked of a tilt sensor with three axes, and of no other', async () => {
    const balloons = page.locator('.step-balloon')
    expect([await balloons.count(), await axes().count()]).toEqual([6, 0])
    useMount('leg-tilt')
    await axes().waitFor()
    expect(await balloons.count()).toBe(7)
    useMount('arm')
    await axes().waitFor({ state: 'detached' })
    useMount('swing-tilt')
    await axes().waitFor()
    // Another board, which sends a finished angle.
    const state = stage.station.state()
    const device = { ...state.link.device!, sensor: 'absolute' }
    stage.station.say({ type: 'state', state: { ...state, link: { ...state.link, device } } })
    await axes().waitFor({ state: 'detached' })
  })

  test('lead one after the other to a numbered entry in force', async () => {
    await begin()
    // Out of order, and ten per cent off: it is taken again in its turn.
    await take('x down', at(-0.9, 0, 0))
    for (const [index, [name, shown]] of SIDES.entries()) {
      if (name !== 'x down')
        await axes()
          .getByText(`Side ${index + 1} of 6: ${name}`, { exact: true })
          .waitFor()
      await take(name, shown)
    }
    await axes().getByText('All six sides are taken.', { exact: true }).waitFor()
    // Who did it is missing.
    await axes().getByRole('button', { name: 'Use these axes' }).click()
    await axes()
      .getByRole('alert')
      .getByText(/\S.*\.$/)
      .waitFor()
    expect(inForce()).toBeNull()
    await axes().getByLabel('Who').fill('N. Tester')
    await axes().getByRole('button', { name: 'Use these axes' }).click()
    await axes()
      .getByText(/^In force: entry 1 of \d{4}-\d\d-\d\d \d\d:\d\d, by N\. Tester\.$/)
      .waitFor()
    const rows = await axes().locator('.axes-found tbody tr').allTextContents()
    expect(rows).toEqual(['x20.0 mg1.0100 g', 'y−10.0 mg1.0000 g', 'z50.0 mg0.9800 g'])
    await axes()
      .getByText(/every side is 1 g to within 0\.0 mg; .* leaned by 0\.0°\./)
      .waitFor()
    expect(inForce()).toMatchObject({
      who: 'N. Tester',
      positions: SIDES.map(([, shown]) => shown),
      x: { offsetG: 0.02, unitG: 1.01 },
    })
  })

  test('show what the axes show, and are not taken while it moves or leans', async () => {
    await begin()
    await expect
      .poll(() => axes().locator('.axes-digits dd').allTextContents())
      .toEqual(['0.000 g', '0.000 g', '1.000 g'])
    await status().getByText('It stands still with z up: take it.', { exact: true }).waitFor()
    Object.assign(gravity, at(0.6, -0.2, 0.75))
    await status().getByText('Between two sides: set it flat against the plate.').waitFor()
    expect(await takeButton().getAttribute('aria-disabled')).toBe('true')
    // Let go on a side, but rocking there.
    // Steps of 15 mg and more: whichever are looked at, two in a row are never alike.
    let step = 0
    const rock = () => Object.assign(gravity, at(0.015 * (++step % 3), 0, 1))
    const rocking = setInterval(rock, 20)
    try {
      await status()
        .getByText(/^It stands with z up, but not still yet/)
        .waitFor()
      await takeButton().click({ force: true })
      await status()
        .getByText(/^It stands with z up, but not still yet/)
        .waitFor()
      expect(await axes().locator('.sides [data-stand="taken"]').count()).toBe(0)
    } finally {
      clearInterval(rocking)
    }
    await take('z up', at(0, 0, 1))
    await status().getByText('It stands still with z up, which is taken already.').waitFor()
  })

  test('that make no calibration are refused in the daemon’s sentence, and stay to be mended', async () => {
    await begin()
    const save = axes().getByRole('button', { name: 'Use these axes' })
    await axes().getByLabel('Who').fill('N. Tester')
    for (const [name, shown] of SIDES) {
      expect(await save.isDisabled()).toBe(true)
      await take(name, at(shown.xG / 4, shown.yG / 4, shown.zG / 4))
    }
    await save.click()
    await axes()
      .getByRole('alert')
      .getByText(/^Axis x shows 0\.25\d g for one: look at the counts a g/)
      .waitFor()
    expect(inForce()).toBeNull()
    expect(await axes().locator('.sides [data-stand="taken"]').count()).toBe(6)
    await axes().getByRole('button', { name: 'Leave it as it was' }).click()
    await axes().getByText('Its axes are taken as the maker left them.').waitFor()
  })

  test('are not begun with a zero set, which turning would take for a bend', async () => {
    useMount('swing-tilt')
    stage.goTo(() => stage.station.state().phase === 'no-datum')
    stage.station.step(100)
    stage.station.act({ act: 'datum' })
    await axes()
      .getByText(/^A zero is set/)
      .waitFor()
    expect(await axes().getByRole('button', { name: 'Take the six sides' }).isDisabled()).toBe(true)
  })

  test('wait for a wire that is gone', async () => {
    await begin()
    await status().getByText('It stands still with z up: take it.', { exact: true }).waitFor()
    stage.station.fault('lost')
    await status().getByText('Waiting for the axes …', { exact: true }).waitFor()
    expect(await takeButton().getAttribute('aria-disabled')).toBe('true')
  })

  test.each(SIZES)('are whole on a $name of $width x $height', async ({ width, height }) => {
    await page.setViewportSize({ width, height })
    await begin()
    await axes().locator('.sides li').nth(5).waitFor()
    expect(faults).toEqual([])
    const sideways = await page.evaluate(
      'document.documentElement.scrollWidth - document.documentElement.clientWidth',
    )
    expect(sideways).toBe(0)
    const { height: high } = (await takeButton().boundingBox())!
    expect(high).toBeGreaterThanOrEqual(76)
  })
})
