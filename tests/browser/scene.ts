import type { Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, inject } from 'vitest'
import { type Browser, listenForFaults, openBrowser, openStage, type Stage } from './stage.ts'

/** A stage and a page in front of it; the page is nowhere yet. */
interface Scene {
  readonly stage: Stage
  readonly page: Page
  /** What the page logged as an error, so far. */
  readonly faults: readonly string[]
}

export interface Scenes {
  /** A stage and a page in front of it, for the test in hand. */
  open(options?: StageOptions): Promise<Scene>
  /** A stage alone: the daemon that comes after another, for the test in hand. */
  stage(options?: StageOptions): Promise<Stage>
}

type StageOptions = Parameters<typeof openStage>[1]

/** One dashboard and one Chromium for the tests of a block; what a test opened is gone after it. */
export function makeScenes(): Scenes {
  let dashboard: string
  let browser: Browser
  let closing: (() => Promise<void>)[] = []

  beforeAll(async () => {
    dashboard = inject('dashboardDir')
    browser = await openBrowser()
  })
  afterAll(() => browser?.close())
  afterEach(async () => {
    const opened = closing.toReversed()
    closing = []
    for (const close of opened) await close()
  })

  async function stageFor(options: StageOptions): Promise<Stage> {
    const stage = await openStage(dashboard, options)
    closing.push(stage.close)
    return stage
  }
  return {
    stage: stageFor,
    async open(options) {
      const stage = await stageFor(options)
      const page = await browser.context.newPage()
      closing.push(() => page.close())
      return { stage, page, faults: listenForFaults(page) }
    },
  }
}
