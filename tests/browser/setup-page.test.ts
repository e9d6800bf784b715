import type { Page } from 'playwright-core'
import { beforeEach, describe, expect, test } from 'vitest'
import { skipWithout } from '../support/needs.ts'
import { makeScenes } from './scene.ts'
import { listenForFaults, type Stage } from './stage.ts'

describe.skipIf(skipWithout('chromium'))('the first run in Chromium', () => {
  const scenes = makeScenes()
  let stage: Stage
  let page: Page

  beforeEach(async () => {
    ;({ stage, page } = await scenes.open({ ready: false }))
    await page.goto(stage.url)
    await page.getByRole('heading', { name: 'Set-up' }).waitFor()
  })

  const send = () => page.getByRole('button', { name: 'Use this' }).click()
  const example = () => page.getByRole('button', { name: /boat-rail example/ }).click()
  const helpOf = (field: string) => page.locator(`#${field}-help`).textContent()

  test('nothing set up leads here, cautions first', async () => {
    expect(page.url()).toMatch(/#\/setup$/)
    const text = await page.locator('.cautions').textContent()
    expect(text).toContain('does not guard the machine')
    expect(text).toContain('do not certify a structure')
  })

  test('what is missing is said beside each field, and the first gets the focus', async () => {
    await send()
    expect(await helpOf('dieOd')).toBe('Fill this in.')
    expect(await helpOf('wanted')).toBe('Fill this in.')
    expect(await page.evaluate('document.activeElement.id')).toBe('station')
    expect(await page.locator('#lot').getAttribute('aria-invalid')).toBe('true')
    expect(stage.station.state().setup).toBeNull()
  })

  test('the example on the bench leads to the Bend page in two taps', async () => {
    const faults = listenForFaults(page)
    await example()
    await send()
    stage.station.step(50)
    await page.locator('.digits-line').waitFor()
    expect(stage.station.state().setup?.setup.tube.odMm).toBe(38.1)
    expect(stage.station.state().job?.wantedDeg).toBe(90)
    expect(faults).toEqual([])
  })

  test('inches are taken as inches', async () => {
    await example()
    await page.locator('#od').fill('1 1/2 in')
    await page.locator('#wall').fill('.065in')
    await page.locator('#clr').fill('4.5"')
    await send()
    await expect.poll(() => stage.station.state().job).not.toBeNull()
    const { tube, die } = stage.station.state().setup?.setup ?? {}
    expect(tube).toMatchObject({ odMm: 38.1, wallMm: 1.651 })
    expect(die?.clrMm).toBe(114.3)
  })

  test('the unit is remembered', async () => {
    await page.getByRole('radio', { name: 'in', exact: true }).check()
    await page.reload()
    expect(await page.getByRole('radio', { name: 'in', exact: true }).isChecked()).toBe(true)
    await page.getByRole('radio', { name: 'mm' }).check()
  })

  test('what the daemon refuses stands beside its field, in its own sentence', async () => {
    await example()
    await page.locator('#wanted').fill('999')
    await send()
    await page.locator('.field-wrong #wanted').waitFor()
    expect((await helpOf('wanted'))?.length).toBeGreaterThan(10)
    expect(page.url()).toMatch(/#\/setup$/)
  })

  test('what is in force is what the form shows next time', async () => {
    await example()
    await page.locator('#lot').fill('B-17')
    await send()
    await page.waitForURL(/#\/bend$/)
    await page.goto(`${stage.url}/#/setup`)
    await page.locator('#lot').waitFor()
    expect(await page.locator('#lot').inputValue()).toBe('B-17')
    expect(await page.locator('#material').inputValue()).toBe('316l-annealed')
  })

  test('no example is offered on a real bender', async () => {
    await stage.close()
    stage = await scenes.stage({ ready: false, bench: false })
    await page.goto(stage.url)
    await page.getByRole('heading', { name: 'Set-up' }).waitFor()
    expect(await page.getByRole('button', { name: /boat-rail/ }).count()).toBe(0)
  })
})
