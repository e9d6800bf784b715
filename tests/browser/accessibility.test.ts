import type { Page } from 'playwright-core'
import { beforeEach, describe, expect, test } from 'vitest'
import { skipWithout } from '../support/needs.ts'
import { makeScenes } from './scene.ts'
import { GONE, GROUNDS, type Stage } from './stage.ts'

/** What a person works with or looks at: nothing of it may be without a name. */
const NAMED_ROLES = [
  ...['button', 'link', 'textbox', 'combobox', 'checkbox', 'radio', 'slider', 'Date'],
  ...['image', 'img', 'region', 'table', 'DisclosureTriangle'],
]

interface AxNode {
  readonly ignored: boolean
  readonly role?: { readonly value: string }
  readonly name?: { readonly value: string }
  readonly properties?: readonly {
    readonly name: string
    readonly value: { readonly value: unknown }
  }[]
}

/** What Chromium tells a screen reader of the page. */
async function toldTo(page: Page): Promise<readonly AxNode[]> {
  const session = await page.context().newCDPSession(page)
  const { nodes } = await session.send('Accessibility.getFullAXTree')
  await session.detach()
  return (nodes as unknown as AxNode[]).filter(({ ignored }) => !ignored)
}

const roleOf = ({ role }: AxNode) => role?.value ?? ''
const nameOf = ({ name }: AxNode) => name?.value.trim() ?? ''

/**
 * Every text on show, with its contrast by WCAG 2.2 against what lies behind it, and the least it must have.
 * What is switched off needs none; what is dimmed because it is old counts as if it were not.
 */
const CONTRASTS = `(() => {
  const parts = (colour) => (colour.match(/[\\d.]+/g) ?? []).map(Number)
  const alpha = (colour) => (colour === 'transparent' ? 0 : (parts(colour)[3] ?? 1))
  const light = (colour) => {
    const [r, g, b] = parts(colour).slice(0, 3)
      .map((c) => c / 255)
      .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4))
    return 0.2126 * r + 0.7152 * g + 0.0722 * b
  }
  const behind = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const { backgroundColor } = getComputedStyle(at)
      if (alpha(backgroundColor) === 1) return backgroundColor
    }
    return 'rgb(255, 255, 255)'
  }
  const found = []
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const element = node.parentElement
    const text = node.textContent.trim()
    if (text === '' || !element.checkVisibility({ visibilityProperty: true })) continue
    if (element.closest(':disabled, [aria-disabled=true], option, title, .for-the-ear')) continue
    const style = getComputedStyle(element)
    const ink = element instanceof SVGElement ? style.fill : style.color
    const [high, low] = [light(ink), light(behind(element))].sort((a, b) => b - a)
    const px = Number.parseFloat(style.fontSize)
    const isLarge = px >= 24 || (px >= 18.66 && Number(style.fontWeight) >= 700)
    found.push({ text, ratio: (high + 0.05) / (low + 0.05), least: isLarge ? 3 : 4.5 })
  }
  return found
})()`

interface Contrast {
  readonly text: string
  readonly ratio: number
  readonly least: number
}

const PAGES = [
  { address: 'bend', sign: '.missing-what' },
  { address: 'history', sign: 'tbody tr' },
  { address: 'notebook', sign: '#notebook-file' },
  { address: 'history/2', sign: '.record-trace canvas' },
  { address: 'history/charts', sign: '.point-chart canvas' },
  { address: 'people', sign: 'main form' },
  { address: 'springback', sign: '.lots tbody tr' },
  { address: 'sensor', sign: '.check-chart circle' },
  { address: 'setup', sign: '.cautions' },
  { address: 'chain', sign: '.chain-drawing .block' },
  { address: 'chain/blocks', sign: '.block-entry' },
  { address: 'chain?draft', sign: '.draft-state[data-state="accepted"]' },
] as const

describe.skipIf(skipWithout('chromium'))('every page, for who cannot see or point', () => {
  const scenes = makeScenes()
  let stage: Stage
  let page: Page

  /** Two bends in the history, a piece with a check that failed, a fault on the wire. */
  beforeEach(async () => {
    ;({ stage, page } = await scenes.open())
    stage.goTo(() => stage.station.history.count() === 2)
    const { readout } = stage.station
    const gauge = { name: 'Angle gauge 3', certificate: '' }
    const who = 'N. Tester'
    const known = { knownDeg: 45, standardDeg: 0.05, gauge, limitDeg: 0.3 }
    const piece = readout.addPiece({ who, name: 'RP-45', ...known })
    stage.goTo(() => stage.station.state().phase === 'settled')
    stage.station.step(150)
    readout.check({ who, piece: piece.id })
  })

  /** The draft of the chain with a block put in, and its sheet open. */
  async function openDraft() {
    await page.getByRole('button', { name: 'Change', exact: true }).click()
    await page.locator('.chain-drawing [data-block="scale"]').click()
    await page.getByRole('button', { name: /^scale\.angle → / }).click()
    await page.getByRole('button', { name: 'Insert notch', exact: true }).click()
    await page.getByLabel('centreHz', { exact: true }).waitFor()
  }

  async function open(address: string, sign: string) {
    const [path, isDraft] = address.split('?')
    await page.goto(`${stage.url}/#/${path}`)
    await page.locator('main').waitFor()
    if (isDraft) await openDraft()
    stage.fallSilent()
    const state = stage.station.state()
    const counters = { ...state.link.counters, badChecksum: 7 }
    const link = { ...state.link, ...GONE, state: 'lost', counters } as const
    stage.station.say({ type: 'state', state: { ...state, link } })
    await page.locator(sign).first().waitFor()
  }

  async function expectNames() {
    const nodes = await toldTo(page)
    const named = nodes.filter((node) => NAMED_ROLES.includes(roleOf(node)))
    expect(named.length).toBeGreaterThan(5)
    expect(named.filter((node) => nameOf(node) === '').map(roleOf)).toEqual([])
    const group = 'fieldset:not([aria-label]):not(:has(> legend))'
    expect(await page.locator(group).count()).toBe(0)
  }

  async function expectHeadingsInOrder() {
    const nodes = await toldTo(page)
    expect(nodes.filter((node) => roleOf(node) === 'main')).toHaveLength(1)
    const levels = nodes
      .filter((node) => roleOf(node) === 'heading')
      .map(({ properties }) =>
        Number(properties?.find(({ name }) => name === 'level')?.value.value),
      )
    for (const [i, level] of levels.entries())
      expect(level).toBeLessThanOrEqual((levels[i - 1] ?? 0) + 1)
    const ids = (await page.evaluate(
      '[...document.querySelectorAll("[id]")].map(({ id }) => id)',
    )) as string[]
    expect(ids).toEqual([...new Set(ids)])
    expect(await page.locator('html').getAttribute('lang')).toBe('en')
    expect((await page.title()).length).toBeGreaterThan(3)
  }

  async function expectLegible(ground: (typeof GROUNDS)[number]) {
    await page.emulateMedia({ colorScheme: ground })
    await page.locator(`html[data-theme="${ground}"]`).waitFor()
    const texts = (await page.evaluate(CONTRASTS)) as Contrast[]
    // Else it was another page, or none.
    expect(texts.length).toBeGreaterThan(12)
    expect(texts.filter(({ ratio, least }) => !(ratio >= least))).toEqual([])
  }

  test.each(PAGES)(
    '#/$address: what is worked with has a name, headings are in order, and all can be read on either ground',
    async ({ address, sign }) => {
      await open(address, sign)
      await expectNames()
      await expectHeadingsInOrder()
      for (const ground of GROUNDS) await expectLegible(ground)
    },
  )
})
