import type { Page } from 'playwright-core'
import { beforeEach, describe, expect, test } from 'vitest'
import { skipWithout } from '../support/needs.ts'
import { makeScenes } from './scene.ts'
import { GONE, PORT, SIZES, type Stage } from './stage.ts'

describe.skipIf(skipWithout('chromium'))('the Sensor page in Chromium', () => {
  const scenes = makeScenes()
  let stage: Stage
  let page: Page
  let faults: readonly string[]

  beforeEach(async () => {
    ;({ stage, page, faults } = await scenes.open({ auto: false }))
    stage.goTo(() => stage.station.state().phase === 'no-datum')
    stage.station.step(100)
    await page.goto(`${stage.url}/#/sensor`)
    await page.getByRole('heading', { name: 'Sensor', exact: true }).waitFor()
  })

  const step = (name: string) => page.getByRole('region', { name })
  const sensor = () => stage.station.state().setup?.setup.sensor

  test.each(SIZES)(
    'is whole on a $name of $width x $height, also when all goes wrong',
    async (size) => {
      await page.setViewportSize(size)
      const sideways = () =>
        page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth')
      expect(await sideways()).toBe(0)
      const state = stage.station.state()
      const counters = Object.fromEntries(
        Object.keys(state.link.counters).map((name) => [name, 1_234_567]),
      ) as typeof state.link.counters
      const link = { ...state.link, ...GONE, source: PORT, state: 'lost', counters } as const
      stage.station.say({ type: 'state', state: { ...state, link } })
      await step('Wire').getByText(GONE.reason).waitFor()
      expect(await sideways()).toBe(0)
      expect(faults).toEqual([])
    },
  )

  test('counts what comes in, and says what to do about what is bad', async () => {
    const caption = step('Lines').locator('caption')
    const before = await caption.textContent()
    expect(before).toMatch(/^[\d,]+ lines, [\d,]+ readings so far$/)
    const state = stage.station.state()
    const counters = { ...state.link.counters, badChecksum: 7 }
    stage.station.say({ type: 'state', state: { ...state, link: { ...state.link, counters } } })
    const row = step('Lines').getByRole('row', { name: /Bad checksum/ })
    await expect.poll(() => row.textContent()).toContain('7')
    expect(await row.textContent()).toContain('cable')
  })

  test('the last lines are shown as they came, with what each was taken for', async () => {
    const row = step('Lines').locator('.raw-lines li').first()
    await row.waitFor()
    expect(await row.locator('code').textContent()).toBe('$PXOBH')
    expect(await row.locator('span').textContent()).toBe('no checksum')
  })

  test('a port is listened to, what was heard is filled in and used', async () => {
    const wire = step('Wire')
    await wire.getByLabel('Comes by').selectOption('serial')
    await wire.getByLabel('Baud').fill('9600')
    await wire.getByRole('button', { name: 'A (/dev/ttyACM0)' }).click()
    await wire.getByRole('button', { name: 'Listen to this port' }).click()
    await wire.getByText('(98 % sure)').waitFor()
    await wire.getByRole('button', { name: 'Fill that in' }).click()
    expect(await wire.getByLabel('Baud').inputValue()).toBe('115200')
    await wire.getByRole('button', { name: 'Use this wire' }).click()
    await wire.getByText('This wire is in use now.').waitFor()
    expect(await (await page.request.get(`${stage.url}/api/wire`)).json()).toEqual({
      kind: 'serial',
      path: '/dev/serial/by-id/usb-A-if00',
      baud: 115_200,
      dialect: 'native',
    })
  })

  test('a wire without its port is not sent', async () => {
    const wire = step('Wire')
    await wire.getByLabel('Comes by').selectOption('tcp')
    await wire.getByLabel('TCP port').fill('4001a')
    await wire.getByRole('button', { name: 'Use this wire' }).click()
    expect(await page.locator('#wire-host-help').textContent()).toBe('Fill this in.')
    expect(await page.locator('#wire-port-help').textContent()).toBe('Write a whole number.')
  })

  async function fillGauge() {
    const scale = step('Known angles')
    await scale.getByLabel('Who').fill('N. Tester')
    await scale.getByLabel('Gauge', { exact: true }).fill('Angle gauge 3')
    return scale
  }

  async function takeAt(knownDeg: number) {
    stage.station.step(150)
    const scale = step('Known angles')
    await scale.getByLabel('The gauge shows').fill(String(knownDeg))
    await scale.getByRole('button', { name: 'Take the reading' }).click()
  }

  test('known angles make a numbered calibration', async () => {
    const scale = await fillGauge()
    await takeAt(0)
    await scale.getByRole('row').nth(1).waitFor()
    expect(await scale.getByRole('button', { name: 'Use this calibration' }).isDisabled()).toBe(
      true,
    )
    stage.station.act({ act: 'datum' })
    stage.goTo(() => stage.station.state().phase === 'settled')
    stage.station.step(100)
    await takeAt(91)
    await scale.getByText(/^Spans 91\.0°/).waitFor()
    stage.station.act({ act: 'accept' })
    await scale.getByRole('button', { name: 'Use this calibration' }).click()
    await scale.getByText(/^In force: calibration 1 of .*Angle gauge 3/).waitFor()
    expect(stage.station.readout.state().calibration).toMatchObject({ who: 'N. Tester' })
  })

  test('points that make no calibration are refused in one sentence, and nothing is in force', async () => {
    const scale = await fillGauge()
    await takeAt(10)
    await takeAt(10)
    await scale.getByRole('alert').getByText(/\.$/).waitFor()
    expect(stage.station.readout.state().calibration).toBeNull()
  })

  test('a reference piece is recorded, and what keeps a check from being made is said', async () => {
    const piece = step('Reference piece')
    await piece.getByLabel('Who').fill('N. Tester')
    await piece.getByText('Record another reference piece').click()
    await piece.getByLabel('Written on the piece').fill('RP-90')
    await piece.getByLabel('Its angle').fill('90')
    await piece.getByLabel('Gauge').fill('Angle gauge 3')
    await piece.getByRole('button', { name: 'Record this piece' }).click()
    await piece.getByText(/RP-90, 90\.00°\. Never checked\./).waitFor()
    await piece.getByRole('button', { name: 'Check with it now' }).click()
    await piece.getByRole('alert').first().getByText(/datum/).waitFor()
    stage.station.act({ act: 'datum' })
    stage.goTo(() => stage.station.state().phase === 'settled')
    stage.station.step(150)
    await piece.getByRole('button', { name: 'Check with it now' }).click()
    await piece.getByText(/Last check .*(passed|failed)\./).waitFor()
    await piece.locator('.check-chart circle').waitFor()
  })

  test('after a failed check it leads to the bends that nobody has decided about', async () => {
    const { readout, history } = stage.station
    const gauge = { name: 'Angle gauge 3', certificate: '' }
    const given = {
      who: 'N. Tester',
      name: 'RP-1',
      knownDeg: 1,
      standardDeg: 0.02,
      limitDeg: 0.001,
    }
    const { id } = readout.addPiece({ ...given, gauge })
    const settle = () => {
      stage.station.act({ act: 'datum' })
      stage.goTo(() => stage.station.state().phase === 'settled')
      stage.station.step(150)
    }
    settle()
    expect(readout.check({ who: 'N. Tester', piece: id }).passed).toBe(false)
    const before = history.page({ limit: 1 }).total
    stage.station.act({ act: 'accept' })
    settle()
    stage.station.act({ act: 'accept' })
    expect(history.page({ limit: 1 }).total).toBe(before + 2)
    await page.reload()
    const piece = step('Reference piece')
    await piece.getByText(new RegExp(`^In doubt: ${before + 2} bends?`)).waitFor()
    await piece.getByRole('link', { name: 'Show these bends' }).click()
    await page.getByRole('button', { name: /Drop Not void, no note since/ }).waitFor()
    // Another page begins at its top.
    expect(await page.evaluate('scrollY')).toBe(0)
    await page.goBack()
    await step('Reference piece').waitFor()
  })

  test('a sensor is chosen, and only what it has is asked for', async () => {
    const mount = step('Mount')
    expect(await mount.getByLabel('Axis forward').count()).toBe(0)
    await mount.getByLabel('Sensor sits on').selectOption('swing-tilt')
    await mount.getByLabel('Axis forward').selectOption('-x')
    await mount.getByLabel('Spindle leans').fill('12')
    await mount.getByRole('button', { name: 'Use this sensor' }).click()
    await mount.getByText('This sensor is in use now.').waitFor()
    expect(sensor()).toMatchObject({
      mount: 'swing-tilt',
      axes: { sine: '-x', cosine: '+z' },
      spindleDeg: 12,
    })
    await page.goto(`${stage.url}/#/setup`)
    await page.getByText('an inclinometer').waitFor()
  })

  test('what is wrong is said beside its field, and nothing is applied', async () => {
    const before = sensor()
    const mount = step('Mount')
    await mount.getByLabel('Counts per turn').fill('many')
    await mount.getByRole('button', { name: 'Use this sensor' }).click()
    expect(await page.locator('#sensor-counts-help').textContent()).toBe('Write a whole number.')
    expect(await page.evaluate('document.activeElement.id')).toBe('sensor-counts')
    expect(sensor()).toEqual(before)
  })

  test('the angle is shown while the die is turned by hand', async () => {
    const digits = step('Mount').locator('.live-angle output')
    await expect.poll(() => digits.textContent()).toMatch(/^−?\d+\.\d°$/)
    stage.fallSilent()
    await expect.poll(() => digits.textContent()).toBe('–')
  })

  test('an output is armed only when the caution was read, and kept so from any page', async () => {
    const output = step('Output')
    const arm = output.getByRole('button', { name: 'Arm the relay' })
    expect(await arm.isDisabled()).toBe(true)
    await output.getByLabel(/I have read this/).check()
    await arm.click()
    await output.getByText('The relay is armed by this page').waitFor()
    expect(stage.station.state().output.armed).toBe('relay')
    await page.getByRole('link', { name: 'Bend', exact: true }).click()
    await page.locator('.digits-line').waitFor()
    const kept = stage.station.outputKept()
    await expect.poll(() => stage.station.outputKept()).toBeGreaterThan(kept)
    await page.getByRole('link', { name: 'Sensor', exact: true }).click()
    await step('Output').getByRole('button', { name: 'Disarm' }).click()
    await step('Output').getByText('No output is armed.').waitFor()
    expect(stage.station.state().output.armed).toBeNull()
  })

  test('what disarmed it by itself is said, and it is not armed anew', async () => {
    const output = step('Output')
    await output.getByLabel(/I have read this/).check()
    await output.getByRole('button', { name: 'Arm the buzzer' }).click()
    await output.getByText('The buzzer is armed by this page').waitFor()
    stage.station.output.disarm()
    await output.getByRole('alert').getByText('No output is armed').waitFor()
    expect(stage.station.state().output.armed).toBeNull()
  })
})
