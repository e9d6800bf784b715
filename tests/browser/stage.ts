import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type BrowserContext, chromium, type Page } from 'playwright-core'
import type { LiveMessage } from '../../server/messages/live.ts'
import { makeAccess } from '../../server/web/access.ts'
import { buildApp } from '../../server/web/app.ts'
import { listen } from '../../server/web/listen.ts'
import { makeFakePeople } from '../support/fake-people.ts'
import { FAKE_SOFTWARE } from '../support/fake-state.ts'
import {
  type FakeStation,
  type FakeStationOptions,
  makeFakeStation,
} from '../support/fake-station.ts'
import { makeFakeWire } from '../support/fake-wire.ts'
import { realClock } from '../support/real-clock.ts'

const CHROMIUM = '/usr/bin/chromium'
const HOST = '127.0.0.1'
const SAMPLES_EVERY_MS = 50

const FLAGS = [
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
]

export interface Browser {
  readonly context: BrowserContext
  close(): Promise<void>
}

/** Chromium with a profile folder that is gone afterwards. */
export async function openBrowser(): Promise<Browser> {
  if (!existsSync(CHROMIUM)) throw new Error(`Needs ${CHROMIUM}: apt-get install chromium.`)
  const profile = mkdtempSync(join(tmpdir(), 'overbend-chromium-'))
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: CHROMIUM,
    headless: true,
    args: FLAGS,
  })
  return {
    context,
    async close() {
      await context.close()
      rmSync(profile, { recursive: true, force: true })
    },
  }
}

export interface Stage {
  readonly station: FakeStation
  readonly url: string
  readonly port: number
  /** Plays on, unseen, until the fake station says so; the scene then stands still and stays fresh. */
  goTo(reached: () => boolean): void
  /** No more samples: the wire falls silent. */
  fallSilent(): void
  /** Ends it; once it has ended, nothing happens. */
  close(): Promise<void>
}

/** Seconds that no scene of the fake station lies beyond. */
const PLAY_SAMPLES_MAX = 30_000

/** A fake station behind the real web, showing one frozen scene after another. */
export async function openStage(
  dashboardDir: string,
  { port = 0, ...options }: FakeStationOptions & { port?: number } = {},
): Promise<Stage> {
  const station = makeFakeStation(options)
  const app = buildApp({
    station,
    wire: makeFakeWire(),
    history: station.history,
    ...station.doors,
    people: makeFakePeople(station.history, realClock),
    dashboardDir,
    access: makeAccess({ host: HOST, clock: realClock }),
    clock: realClock,
    software: FAKE_SOFTWARE,
  })
  const bound = await listen(app, { host: HOST, port })
  let last: LiveMessage | null = null
  let closed: PromiseLike<unknown> | null = null
  station.subscribe((message) => {
    if (message.type === 'samples') last = message
  })
  const timer = setInterval(() => last && station.say(last), SAMPLES_EVERY_MS)
  return {
    station,
    ...bound,
    goTo(reached) {
      for (let i = 0; i < PLAY_SAMPLES_MAX; i++) {
        if (reached()) return
        station.step(1)
      }
      throw new Error('The fake station never came to that scene.')
    },
    fallSilent() {
      clearInterval(timer)
    },
    async close() {
      clearInterval(timer)
      station.stop()
      closed ??= app.close()
      await closed
    },
  }
}

/** Where pictures go: a folder of the caller's, or one of the system's temporary ones. */
export function pictureFolder(): string {
  const folder = process.env['OVERBEND_SCREENSHOTS']
  if (!folder) return mkdtempSync(join(tmpdir(), 'overbend-pictures-'))
  mkdirSync(folder, { recursive: true })
  return folder
}

export const SIZES = [
  { name: 'phone', width: 390, height: 844 },
  { name: 'tablet', width: 1024, height: 768 },
  { name: 'wall', width: 1920, height: 1080 },
] as const

export const GROUNDS = ['light', 'dark'] as const

const isKept = Boolean(process.env['OVERBEND_SCREENSHOTS'])

/** Every size on either ground, when somebody wants to look at them; else every size once, since a ground changes no layout. */
export const PICTURES = SIZES.flatMap((size) => GROUNDS.map((ground) => ({ size, ground }))).filter(
  ({ size, ground }) => isKept || (size.name === 'tablet') === (ground === 'dark'),
)

/** On a machine with one thing more to do, a picture may take a while. */
const PICTURE_WITHIN_MS = 100_000

/**
 * Takes a picture of a page in all its length. That takes long to draw: the first screen will do for one that nobody
 * keeps.
 */
export const takePicture = (page: Page, path: string, { isLong = true } = {}): Promise<Buffer> =>
  page.screenshot({ path, fullPage: isLong && isKept, timeout: PICTURE_WITHIN_MS })

/** A port as its name is on a real machine, and what is said of one that went away: long, and it must fit. */
export const PORT = '/dev/serial/by-id/usb-Overbend_Readout_board_4F2A91-if00'
export const GONE = {
  reason: `${PORT} has gone: the board was unplugged or lost its power.`,
  hint: 'Plug it in again; the daemon finds it by itself.',
} as const

/** Fails when the page logs an error, throws, or breaks its content security policy. */
export function listenForFaults(page: Page): string[] {
  const faults: string[] = []
  page.on('console', (message) => {
    if (message.type() === 'error') faults.push(message.text())
  })
  page.on('pageerror', (error) => faults.push(String(error)))
  return faults
}
