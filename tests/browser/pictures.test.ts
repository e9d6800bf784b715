import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest'
import { skipWithout } from '../support/needs.ts'
import {
  type Browser,
  listenForFaults,
  openBrowser,
  openStage,
  PICTURES,
  pictureFolder,
  type Stage,
  takePicture,
} from './stage.ts'

interface Scene {
  readonly name: string
  readonly page: string
  readonly ready?: boolean
  /** What must be on the page before the picture is taken. */
  readonly sign: string
  /** The fake station plays to here. */
  reached(stage: Stage): boolean
}

const angleOf = ({ station }: Stage) => station.hello().trace.angleDeg.at(-1) ?? 0

const SCENES: readonly Scene[] = [
  {
    name: 'bend',
    page: '#/bend',
    sign: '.cue[data-word="bend"]',
    reached: (stage) => stage.station.state().phase === 'bending' && angleOf(stage) > 52,
  },
  {
    name: 'stop',
    page: '#/bend',
    sign: '.cue[data-word="stop"]',
    reached: ({ station }) => station.state().cue === 'stop',
  },
  {
    name: 'result',
    page: '#/bend',
    sign: '.cue[data-word="in"]',
    reached: ({ station }) =>
      station.state().phase === 'settled' && station.state().result?.verdict === 'in',
  },
  { name: 'first-run', page: '#/setup', ready: false, sign: '.cautions', reached: () => true },
  {
    name: 'sensor',
    page: '#/sensor',
    sign: '.step',
    reached: (stage) => stage.station.state().phase === 'bending' && angleOf(stage) > 20,
  },
  {
    name: 'history',
    page: '#/history',
    sign: 'tbody tr',
    reached: ({ station }) => station.history.count() === 14,
  },
  {
    name: 'charts',
    page: '#/history/charts',
    sign: '.point-chart canvas',
    reached: ({ station }) => station.history.count() === 24,
  },
  {
    name: 'record',
    page: '#/history/4',
    sign: '.record-trace canvas',
    reached: ({ station }) => station.history.count() === 4,
  },
]

const CASES = SCENES.flatMap((scene) => PICTURES.map((picture) => ({ scene, ...picture })))

describe.skipIf(skipWithout('chromium'))('pictures of the pages', () => {
  const folder = pictureFolder()
  let dashboard: string
  let browser: Browser

  beforeAll(async () => {
    dashboard = inject('dashboardDir')
    browser = await openBrowser()
    process.stderr.write(`Pictures are in ${folder}\n`)
  })
  afterAll(() => browser?.close())

  test.each(CASES)('$scene.name, $size.name, $ground', async ({ scene, size, ground }) => {
    const stage = await openStage(dashboard, { ready: scene.ready ?? true })
    const page = await browser.context.newPage()
    const faults = listenForFaults(page)
    try {
      await page.setViewportSize(size)
      await page.emulateMedia({ colorScheme: ground })
      stage.goTo(() => scene.reached(stage))
      stage.station.step(1)
      await page.goto(`${stage.url}/${scene.page}`)
      await page.locator(scene.sign).first().waitFor()
      await page.waitForTimeout(250)
      const path = join(folder, `${scene.name}-${size.name}-${ground}.png`)
      // The operator's sheet is shown as it is seen: on a phone the bench stays at the screen's edge.
      const isLong = scene.page !== '#/bend'
      const picture = await takePicture(page, path, { isLong })
      expect(picture.byteLength).toBeGreaterThan(10_000)
      expect(faults).toEqual([])
    } finally {
      await page.close()
      await stage.close()
    }
  })
})
