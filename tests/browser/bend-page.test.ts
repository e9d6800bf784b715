import type { Page } from 'playwright-core'
import { beforeEach, describe, expect, test } from 'vitest'
import type { StationState } from '../../server/messages/live.ts'
import { skipWithout } from '../support/needs.ts'
import { makeScenes } from './scene.ts'
import { GONE, SIZES, type Stage } from './stage.ts'

// A screen of 24 inches, 16 to 9, is 531.4 mm wide: 1920 pixels of 0.2768 mm.
const MM_PER_PX = (24 * 25.4 * Math.cos(Math.atan(9 / 16))) / 1920
/** Height of a digit over the font's size: the least of the common sans faces, quoted from memory. */
const DIGIT_OVER_FONT = 0.69

const PHASES_OF_THE_END = ['bending', 'letting-off', 'settled', 'no-datum', 'seated'] as const

const shown = async (page: Page) =>
  (await page.locator('.digits-line').textContent())?.replace('−', '-').replace('°', '').trim()

const fact = (page: Page, name: string) =>
  page.locator('.fact', { has: page.locator(`dt:text-is("${name}")`) }).locator('dd')

const pxOf = async (page: Page, selector: string, what: string) =>
  Number.parseFloat(
    await page.evaluate(`getComputedStyle(document.querySelector('${selector}')).${what}`),
  )

describe.skipIf(skipWithout('chromium'))('the Bend page in Chromium', () => {
  const scenes = makeScenes()
  let stage: Stage
  let page: Page
  let faults: readonly string[]

  beforeEach(async () => {
    ;({ stage, page, faults } = await scenes.open({ auto: false }))
    await page.setViewportSize({ width: 1920, height: 1080 })
  })

  const angle = () => stage.station.hello().trace.angleDeg.at(-1) ?? 0

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

  test('shows the live angle, the stop and what is left', async () => {
    await bendTo(52)
    await open()
    const awayDeg = async () => Math.abs(Number(await shown(page)) - angle())
    await expect.poll(awayDeg).toBeLessThanOrEqual(0.1)
    const stopDeg = stage.station.state().aim?.commandedDeg ?? 0
    expect(await fact(page, 'Stop at').textContent()).toBe(stopDeg.toFixed(1))
    // The two figures beside one another add up: nobody has to ask which of them is right.
    expect(await fact(page, 'To go').locator('small').textContent()).toBe(' ±0.1')
    expect(await fact(page, 'To go').locator('span').textContent()).toBe(
      (Number(stopDeg.toFixed(1)) - Number(await shown(page))).toFixed(1),
    )
    expect(await page.locator('.to-go-text').textContent()).toBe(
      `${await fact(page, 'To go').locator('span').textContent()}°`,
    )
    expect(await page.locator('.cue-word').textContent()).toBe('Bend')
    expect(faults).toEqual([])
  })

  test('the digits can be read from 4 m on a screen of 24 inches', async () => {
    await bendTo(52)
    await open()
    const fontPx = await pxOf(page, '.digits-line', 'fontSize')
    // 20 minutes of arc from 4 m is 23.3 mm: ISO 9241 as quoted by NUREG-0700's formula.
    expect(fontPx * DIGIT_OVER_FONT * MM_PER_PX).toBeGreaterThanOrEqual(23.3)
    const wordPx = await pxOf(page, '.cue-word', 'fontSize')
    expect(wordPx * DIGIT_OVER_FONT * MM_PER_PX).toBeGreaterThanOrEqual(23.3)
  })

  test.each(SIZES)('is whole on a $name of $width x $height', async ({ width, height }) => {
    await page.setViewportSize({ width, height })
    await bendTo(52)
    await open()
    const sideways = await page.evaluate(
      'document.documentElement.scrollWidth - document.documentElement.clientWidth',
    )
    expect(sideways).toBe(0)
    for (const button of await page.locator('.act').all()) {
      const box = await button.boundingBox()
      // 20 mm for a glove, at the nominal 96 pixels to the inch, is 75.6 pixels.
      expect(box?.height).toBeGreaterThanOrEqual(76)
      expect(box?.width).toBeGreaterThanOrEqual(76)
    }
    const digits = await page.locator('.digits-line').boundingBox()
    expect((digits?.y ?? 9999) + (digits?.height ?? 0)).toBeLessThan(height)
    expect((digits?.x ?? -1) + (digits?.width ?? 9999)).toBeLessThanOrEqual(width)
  })

  test('the whole field turns over at the stop, with a word and a shape', async () => {
    await bendTo(40)
    await open()
    const ground = () =>
      page.evaluate('getComputedStyle(document.querySelector(".bend")).backgroundColor')
    const [calm, shape] = [await ground(), await page.locator('.glyph').innerHTML()]
    stage.goTo(() => stage.station.state().cue === 'stop')
    await page.locator('.cue[data-word="stop"]').waitFor()
    expect(await page.locator('.cue-word').textContent()).toBe('Stop')
    expect(await ground()).not.toBe(calm)
    expect(await page.locator('.glyph').innerHTML()).not.toBe(shape)
    await page.locator('[data-field="stop"]').waitFor()
  })

  test('past the stop says so in another way than the stop', async () => {
    await bendTo(40)
    stage.goTo(() => stage.station.state().cue === 'stop')
    await open()
    await page.locator('.cue[data-word="stop"]').waitFor()
    await page.locator('[data-field="stop"]').waitFor()
    const atStop = await page.evaluate('getComputedStyle(document.body).backgroundImage')
    stage.station.say({
      type: 'samples',
      tS: [99],
      angleDeg: [96.4],
      rateDegPerS: [1],
      quality: [0],
      cue: 'over',
      omitted: 0,
    })
    await page.locator('.cue[data-word="past"]').waitFor()
    const ground = () => page.evaluate('getComputedStyle(document.body).backgroundImage')
    await expect.poll(ground).not.toBe(atStop)
    const stopShown = Number(await fact(page, 'Stop at').textContent())
    const pastBy = () => fact(page, 'Past by').locator('span').textContent()
    await expect.poll(pastBy).toBe((96.4 - stopShown).toFixed(1))
  })

  test('the sign of degree is never a digit, however far the bend went before', async () => {
    const say = (angleDeg: number, more: Partial<StationState> = {}) => {
      stage.station.say({ type: 'state', state: { ...stage.station.state(), ...more } })
      stage.station.say({
        type: 'samples',
        tS: [99],
        angleDeg: [angleDeg],
        rateDegPerS: [0],
        quality: [0],
        cue: 'none',
        omitted: 0,
      })
    }
    const sign = () => page.locator('.degree').textContent()
    await bendTo(40)
    await open()
    // Letting off, closing and taking zero shrink and widen the line while the angle moves.
    for (const [i, phase] of PHASES_OF_THE_END.entries())
      for (let step = 0; step < 8; step++) {
        say(171.94 - i - step / 10, { phase })
        await page.waitForTimeout(30)
        expect(await sign()).toBe('°')
      }
    for (const [angleDeg, text] of [
      [150.04, '150.0'],
      [12.34, '12.3'],
      [-3.2, '-3.2'],
      [104.5, '104.5'],
      [61.98, '62.0'],
    ] as const) {
      say(angleDeg, { phase: 'bending' })
      await expect.poll(() => shown(page)).toBe(text)
      expect(await sign()).toBe('°')
    }
  })

  test('after letting off: released with its uncertainty, the verdict, what next', async () => {
    await bendTo(40)
    await open()
    stage.goTo(() => stage.station.state().phase === 'settled')
    const { result } = stage.station.state()
    await page.locator('.cue[data-word="under"]').waitFor()
    expect(await page.locator('.cue-tail').textContent()).toBe(
      `go again to ${result?.againDeg?.toFixed(1)}°`,
    )
    expect(await fact(page, 'Released').textContent()).toBe(
      `${result?.go.releasedDeg?.toFixed(1)} ±0.1`,
    )
    expect(await page.locator('.why').textContent()).toBe(result?.learnedWhy)
    expect(await page.getByRole('status').first().textContent()).toContain('Under, released at')
  })

  test('an angle that grows old is dimmed, then gives way to what is missing', async () => {
    await bendTo(52)
    await open()
    await page.locator('.digits[data-freshness="live"]').waitFor()
    stage.fallSilent()
    await page.locator('.digits[data-freshness="dim"]').waitFor()
    await page.locator('.missing').waitFor()
    expect(await page.locator('.digits-line').count()).toBe(0)
    expect(await fact(page, 'To go').textContent()).toBe('–')
    expect(await page.locator('.cue-word').textContent()).toBe('Wait')
    expect(await page.locator('.missing-age').textContent()).toMatch(/^Last angle \d+ s ago/)
  })

  test.each(['silent', 'garbled', 'lost'] as const)(
    'a %s wire: what, and what to do',
    async (fault) => {
      await bendTo(52)
      await open()
      stage.station.fault(fault)
      const { reason, hint } = stage.station.state().link
      await page.locator('.missing').waitFor()
      expect(await page.locator('.missing-what').textContent()).toBe(reason)
      expect(await page.locator('.missing-todo').textContent()).toBe(hint)
      expect(await page.locator('[role=alert]').last().textContent()).toContain(reason)
      stage.station.fault(null)
      await page.locator('.digits-line').waitFor()
    },
  )

  test('a sensor in doubt and a full disk are said, and the angle goes on', async () => {
    await bendTo(52)
    await open()
    stage.station.fault('disk')
    await page.locator('.notice-fault').waitFor()
    expect(await page.locator('.notice-fault').textContent()).toContain('The disk is full')
    stage.station.fault('uncertain')
    await page.locator('.notice-doubt').waitFor()
    stage.station.step(1)
    await page.locator('.doubt-tag').waitFor()
    expect(await page.locator('.digits-line').count()).toBe(1)
    stage.station.fault(null)
    await page.locator('.notice').waitFor({ state: 'detached' })
  })

  test('says that it lost the program, offers nothing meanwhile, and finds it again', async () => {
    await bendTo(52)
    await open()
    await page.getByRole('button', { name: 'By hand' }).click()
    const ram = page.getByRole('button', { name: /Work the ram/ })
    await expect.poll(() => ram.isEnabled()).toBe(true)
    const { port } = stage
    await stage.close()
    await page.getByText('This page lost the Overbend program.', { exact: true }).waitFor()
    for (const button of await page.locator('.act, .mode').all())
      expect(await button.isDisabled()).toBe(true)
    stage = await scenes.stage({ port })
    stage.goTo(() => angle() > 20)
    await page.locator('.digits-line').waitFor({ timeout: 15_000 })
    await expect.poll(() => page.locator('.act-hold').isEnabled()).toBe(true)
    expect(faults.filter((text) => !/WebSocket|ERR_CONNECTION/.test(text))).toEqual([])
  })

  test('a reload in mid-bend brings the trace back', async () => {
    const inked = () =>
      page.evaluate(`(() => {
        const canvas = document.querySelector('.trace canvas')
        const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height)
        let dark = 0
        for (let i = 0; i < data.length; i += 4) if (data[i + 3] > 200 && data[i] < 60) dark += 1
        return dark
      })()`) as Promise<number>
    stage.goTo(() => stage.station.state().phase === 'no-datum')
    stage.station.step(100)
    await open()
    await page.waitForTimeout(300)
    const axesAlone = await inked()
    await bendTo(52)
    await page.reload()
    await page.locator('.digits-line').waitFor()
    await expect.poll(inked).toBeGreaterThan(axesAlone + 300)
  })

  test('keys and a pedal speak for the operator', async () => {
    stage.goTo(() => stage.station.state().phase === 'no-datum')
    stage.station.step(100)
    await open()
    await page.keyboard.press('Space')
    await page.locator('.cue[data-word="bend"]').waitFor()
    stage.goTo(() => stage.station.state().phase === 'settled')
    await page.locator('.cue[data-word="under"]').waitFor()
    await page.keyboard.press('g')
    // The key goes over the wire: the station must have it before time goes on.
    await expect.poll(() => stage.station.acts.length).toBe(2)
    stage.goTo(
      () => stage.station.state().phase === 'settled' && stage.station.state().goNumber > 2,
    )
    await page.locator('.cue[data-word="in"], .cue[data-word="under"]').waitFor()
    await page.keyboard.press('a')
    await expect.poll(() => stage.station.history.count()).toBe(1)
    const acts = stage.station.acts.map((act) => ('act' in act ? act.act : ''))
    expect(acts).toEqual(['pedal', 'again', 'accept'])
  })

  test('after a tap on a button the pedal still speaks to the page', async () => {
    stage.goTo(() => stage.station.state().phase === 'no-datum')
    stage.station.step(100)
    await open()
    await page.locator('.act', { hasText: 'Datum' }).click()
    await page.locator('.cue[data-word="bend"]').waitFor()
    stage.goTo(() => stage.station.state().phase === 'settled')
    await page.locator('.cue[data-word="under"]').waitFor()
    await page.keyboard.press('Space')
    await expect.poll(() => stage.station.acts.length).toBe(2)
    expect(stage.station.acts[1]).toEqual({ act: 'pedal' })
  })

  test('a refusal is said in the daemon’s own sentence, and can be closed', async () => {
    await bendTo(52)
    await open()
    await page.keyboard.press('a')
    const notice = page.locator('.notice-refused')
    await notice.waitFor()
    expect(await notice.textContent()).toContain('There is no settled bend to accept.')
    await notice.getByRole('button').click()
    await notice.waitFor({ state: 'detached' })
  })

  test('a refusal for want of an answer goes once the program is back', async () => {
    await bendTo(52)
    await open()
    await page.route('**/api/station/act', (route) => route.abort())
    await page.keyboard.press('a')
    const notice = page.locator('.notice-refused')
    await notice.waitFor()
    expect(await notice.textContent()).toContain('The Overbend program does not answer.')
    const { port } = stage
    await stage.close()
    await page.getByText('This page lost the Overbend program.', { exact: true }).waitFor()
    expect(await notice.count()).toBe(1)
    stage = await scenes.stage({ port })
    await notice.waitFor({ state: 'detached', timeout: 15_000 })
  })

  test.each(SIZES)(
    'what is missing has room on a $name, however long a port is called',
    async (size) => {
      await page.setViewportSize(size)
      await bendTo(20)
      await open()
      stage.fallSilent()
      const state = stage.station.state()
      const link = { ...state.link, ...GONE, state: 'lost' } as const
      stage.station.say({ type: 'state', state: { ...state, link } })
      await page.locator('.missing-what', { hasText: GONE.reason }).waitFor()
      const boxOf = async (selector: string) => (await page.locator(selector).boundingBox())!
      const [what, age] = [await boxOf('.missing-what'), await boxOf('.missing-age')]
      const [cue, facts] = [await boxOf('.cue'), await boxOf('.facts')]
      expect(what.y).toBeGreaterThanOrEqual(cue.y + cue.height - 1)
      expect(age.y + age.height).toBeLessThanOrEqual(facts.y + 1)
      expect(what.x + what.width).toBeLessThanOrEqual(size.width)
    },
  )

  test('a part that is out of tolerance is recorded, never accepted', async () => {
    await bendTo(40)
    await open()
    stage.goTo(() => stage.station.state().phase === 'settled')
    const state = stage.station.state()
    if (!state.result) throw new Error('no result')
    const go = { ...state.result.go, releasedDeg: 166.6 }
    const result = { ...state.result, go, verdict: 'over', errorDeg: 76.6, againDeg: null } as const
    stage.station.say({ type: 'state', state: { ...state, result } })
    await page.locator('.cue[data-word="over"]').waitFor()
    expect(await page.locator('.cue-tail').textContent()).toBe('by +76.6°, record it')
    expect(await fact(page, 'Off by').textContent()).toBe('+76.6')
    expect(await page.getByRole('button', { name: /Accept/ }).count()).toBe(0)
    await page.getByRole('button', { name: /Record/ }).click()
    await expect.poll(() => stage.station.acts.at(-1)).toEqual({ act: 'accept' })
  })

  test('going again is said: what to bend to, and the button is no longer the next', async () => {
    await bendTo(40)
    await open()
    stage.goTo(() => stage.station.state().phase === 'settled')
    await page.locator('.act-next', { hasText: 'Go again' }).waitFor()
    const state = stage.station.state()
    if (!state.result) throw new Error('no result')
    const result = { ...state.result, goingAgain: true }
    stage.station.say({ type: 'state', state: { ...state, result } })
    await page.locator('.cue[data-word="bend"]').waitFor()
    expect(await page.locator('.cue-tail').textContent()).toBe(`to ${result.againDeg?.toFixed(1)}°`)
    expect(await page.locator('.act-next').count()).toBe(0)
    await expect.poll(() => fact(page, 'Stop at').textContent()).not.toBe('–')
  })

  test('an angle that the sensor cannot see is asked for, and typed in', async () => {
    await bendTo(40)
    await open()
    stage.goTo(() => stage.station.state().phase === 'settled')
    const state = stage.station.state()
    if (!state.result) throw new Error('no result')
    const go = { ...state.result.go, releasedDeg: null, releasedFrom: 'unknown' } as const
    const result = { ...state.result, go, verdict: 'incomplete', againDeg: null } as const
    stage.station.say({ type: 'state', state: { ...state, result } })
    await page.locator('.cue[data-word="check"]').waitFor()
    expect(await page.locator('.cue-tail').textContent()).toBe('with an angle finder')
    const finder = page.getByLabel('Angle finder')
    const enter = page.getByRole('button', { name: 'Check', exact: true })
    await finder.fill('ninety')
    expect(await enter.isDisabled()).toBe(true)
    await finder.fill('89.6')
    await enter.click()
    await expect.poll(() => stage.station.acts.at(-1)).toEqual({ act: 'check', checkedDeg: 89.6 })
    stage.station.say({ type: 'state', state: { ...state, result } })
    await page.getByRole('button', { name: 'It touches' }).click()
    // The fake station saw the tube stand, and says so.
    await page.locator('.notice-refused', { hasText: 'no need to touch it' }).waitFor()
  })

  test('a screen that no browser keeps on says so until that is seen to', async () => {
    await page.addInitScript('delete Navigator.prototype.wakeLock')
    await bendTo(20)
    await open()
    const notice = page.locator('.notice', { hasText: 'may go dark' })
    await notice.waitFor()
    await notice.getByRole('button', { name: 'Done' }).click()
    await notice.waitFor({ state: 'detached' })
    await page.reload()
    await page.locator('.digits-line').waitFor()
    expect(await notice.count()).toBe(0)
    await page.evaluate("localStorage.removeItem('overbend.staysOn')")
  })

  test('a bend is abandoned by holding only', async () => {
    await bendTo(52)
    await open()
    const button = page.locator('.act-hold')
    await button.click()
    await page.waitForTimeout(1000)
    expect(stage.station.acts).toEqual([{ act: 'datum' }])
    await button.hover()
    await page.mouse.down()
    await expect.poll(() => stage.station.acts.length, { timeout: 5000 }).toBe(2)
    await page.mouse.up()
    expect(stage.station.acts[1]).toEqual({ act: 'abandon' })
  })

  test.each([...SIZES])('no lettering of the drawing is cut off on a $name', async (size) => {
    await page.setViewportSize(size)
    await bendTo(40)
    await open()
    await expect.poll(() => page.locator('.to-go-text').textContent()).not.toBe('')
    const outside = () =>
      page.evaluate(`(() => {
        const cell = document.querySelector('.drawing').getBoundingClientRect()
        return [...document.querySelectorAll('.drawing text')].filter((text) => {
          const box = text.getBoundingClientRect()
          return box.left < cell.left || box.right > cell.right || box.bottom > cell.bottom
        }).map((text) => text.textContent)
      })()`)
    expect(await outside()).toEqual([])
    stage.goTo(() => stage.station.state().phase === 'settled')
    await page.locator('.to-go-text', { hasText: 'back' }).waitFor()
    expect(await outside()).toEqual([])
  })

  test('the sound is locked until the first tap, and the page says so', async () => {
    await bendTo(20)
    await open()
    expect(await page.locator('.sound-locked').textContent()).toContain('locked')
    await page.locator('.caption').click()
    await page.getByRole('slider', { name: 'Volume' }).waitFor()
    await page.getByRole('button', { name: 'Sound on' }).click()
    await page.getByRole('button', { name: 'Muted' }).waitFor()
    await page.reload()
    await page.keyboard.press('Tab')
    await page.getByRole('button', { name: 'Muted' }).waitFor()
    await page.getByRole('button', { name: 'Muted' }).click()
  })

  test('nothing on the page jumps while a bend is made', async () => {
    await bendTo(5)
    await open()
    await page.waitForTimeout(300)
    await page.evaluate(`
      window.shifts = 0
      new PerformanceObserver((list) => {
        for (const entry of list.getEntries()) window.shifts += entry.value
      }).observe({ type: 'layout-shift' })`)
    for (const deg of [30, 60, 88]) {
      stage.goTo(() => angle() >= deg)
      await page.waitForTimeout(120)
    }
    stage.goTo(() => stage.station.state().phase === 'settled')
    stage.station.fault('disk')
    await page.waitForTimeout(300)
    // 0.1 is the limit of what readers do not notice, by Core Web Vitals; a fixed sheet has none.
    expect(await page.evaluate('window.shifts')).toBeLessThan(0.01)
  })

  test('the fast number is silent to a screen reader, stages and faults are not', async () => {
    await bendTo(20)
    await open()
    const digits = page.locator('.digits-line')
    expect(await digits.getAttribute('aria-live')).toBe('off')
    expect(await page.locator('[role=status]').count()).toBeGreaterThan(0)
    for (const button of await page.locator('button').all())
      expect((await button.textContent())?.trim()).not.toBe('')
  })

  test('is worked by keyboard alone, with the focus in sight', async () => {
    await bendTo(20)
    await open()
    const reached = new Set<string>()
    for (let i = 0; i < 14; i++) {
      await page.keyboard.press('Tab')
      const outline = await page.evaluate('getComputedStyle(document.activeElement).outlineStyle')
      if (await page.evaluate('document.activeElement === document.body')) continue
      expect(outline).toBe('solid')
      reached.add(await page.evaluate('document.activeElement.textContent'))
    }
    for (const name of ['History', 'Set-up', 'Let it run', 'Abandon'])
      expect([...reached].some((text) => text.includes(name))).toBe(true)
  })
})
