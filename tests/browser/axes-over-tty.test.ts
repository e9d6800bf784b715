import { existsSync } from 'node:fs'
import type { Socket } from 'node:net'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { makeRandom } from '../../firmware-protocol/bench/random.ts'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import type { SixPositions } from '../../server/messages/readout.ts'
import { skipWithout } from '../support/needs.ts'
import { makeTty } from '../support/tty.ts'
import { makeTtyRig } from '../support/tty-rig.ts'
import { listenForFaults, openBrowser } from './stage.ts'

const BUILT = new URL('../../dist/dashboard/index.html', import.meta.url).pathname
const COUNTS_PER_G = 16_384
const RATE_HZ = 100
const SEED = 3
/** Standard deviation of one reading, g: 70 µg in a root hertz at a bandwidth of 50 Hz. */
const NOISE_G = 0.0005
/** What is the matter with the chip. A mean of 64 readings is good to a sixteenth of a milligravity. */
const TRUE_AXES = [
  { offsetG: 0.03, unitG: 1.012 },
  { offsetG: -0.05, unitG: 0.985 },
  { offsetG: 0.08, unitG: 1.004 },
] as const
const WITHIN_G = 0.0005
const SIDES = {
  'z up': [0, 0, 1],
  'z down': [0, 0, -1],
  'x up': [1, 0, 0],
  'x down': [-1, 0, 0],
  'y up': [0, 1, 0],
  'y down': [0, -1, 0],
} as const

/** A board on a bench top, in somebody's hand: it streams how it is held. */
function makeHandheld() {
  const random = makeRandom(SEED, 'axes')
  let held: readonly number[] = SIDES['z up']
  let sequence = 0
  const hello = encodeSentence({
    ...{ kind: 'hello', protocol: 1, firmware: '0.1.0', board: 'TILT-1' },
    ...{ sensor: 'accelerometer', countsPerTurn: COUNTS_PER_G, rateHz: RATE_HZ },
  })
  function axes(): string {
    const [x = 0, y = 0, z = 0] = TRUE_AXES.map(({ offsetG, unitG }, axis) =>
      Math.round(COUNTS_PER_G * (offsetG + unitG * (held[axis] ?? 0) + NOISE_G * random.normal())),
    )
    const tickUs = Math.round((sequence * 1e6) / RATE_HZ)
    const line = encodeSentence({ kind: 'axes', sequence, tickUs, x, y, z, flags: 0 })
    sequence += 1
    return line
  }
  return {
    turn(side: keyof typeof SIDES) {
      held = SIDES[side]
    },
    /** Streams into whoever opened the port, until it is closed. */
    speak(wire: Socket) {
      wire.write(`${hello}\r\n`)
      const timer = setInterval(() => wire.write(`${axes()}\r\n`), 1000 / RATE_HZ)
      wire.on('close', () => clearInterval(timer))
      wire.on('data', () => wire.write(`${hello}\r\n`))
    },
  }
}

describe.skipIf(skipWithout('chromium', 'socat'))('a sensor turned over on the bench top', () => {
  test(`what the page led to is what is the matter with the chip; seed ${SEED}`, async (context) => {
    if (!existsSync(BUILT)) throw new Error('The dashboard is not built: npm run build.')
    const sensor = { mount: 'swing-tilt', countsPerTurn: 0, direction: 'forward' } as const
    const { daemon, folder } = await makeTtyRig(context, { port: 'tilt', sensor })
    const board = makeHandheld()
    const tty = await makeTty(join(folder, 'tilt'), board.speak)
    context.onTestFinished(() => tty.close())
    const browser = await openBrowser()
    context.onTestFinished(() => browser.close())
    const page = await browser.context.newPage()
    const faults = listenForFaults(page)
    await page.goto(`${daemon.url}/#/sensor`)
    const step = page.getByRole('region', { name: 'Axes', exact: true })
    await step.getByRole('button', { name: 'Take the six sides' }).click()

    for (const side of Object.keys(SIDES) as (keyof typeof SIDES)[]) {
      board.turn(side)
      await step.getByRole('button', { name: `Take this side: ${side}` }).click()
      await step.locator('.sides li', { hasText: side }).getByText('taken').waitFor()
    }
    await step.getByLabel('Who').fill('N. Tester')
    await step.getByRole('button', { name: 'Use these axes' }).click()
    await step.getByText(/^In force: entry 1 of .*, by N\. Tester\.$/).waitFor()

    const [entry] = await daemon.get<SixPositions[]>('/api/readout/axes')
    expect(entry).toMatchObject({ who: 'N. Tester', sensor, firmware: '0.1.0' })
    for (const [index, { offsetG, unitG }] of TRUE_AXES.entries()) {
      const found = entry![(['x', 'y', 'z'] as const)[index]!]
      expect(Math.abs(found.offsetG - offsetG)).toBeLessThan(WITHIN_G)
      expect(Math.abs(found.unitG - unitG)).toBeLessThan(WITHIN_G)
    }
    expect(faults).toEqual([])
  })
})
