import { setTimeout as sleep } from 'node:timers/promises'
import type { FirmwareHost } from '../support/firmware-host.ts'
import { openFirmware } from '../support/firmware-host.ts'

// The highest count rate that the real firmware follows without a loss, on the simulated board. The encoder is
// turned evenly while the board does all else that it can: samples at its highest rate, clock queries, outputs and
// pedal, so that interrupts meet.

const COUNTS_PER_TURN = 16_384
const TURNS_FOR_MS = 1500
const RATE_MAX_HZ = 211
const CLOSE_ENOUGH = 0.01
const START = { low: 5000, high: 400_000 }

/** Asks and commands without a pause while the encoder turns. */
async function load(host: FirmwareHost, endUs: number): Promise<void> {
  for (let command = 1; host.board.nowUs() < endUs; command++) {
    host.send({ kind: 'clock-query', command })
    host.send({ kind: 'set-output', command, output: 'buzzer', on: true, timeToLiveMs: 20 })
    await sleep(25)
  }
}

/** Turns at so many counts a second, there and back. @returns Whether every count was there. */
async function follows(countsPerS: number): Promise<boolean> {
  const ends: (() => unknown)[] = []
  const onTestFinished = (end: unknown): void => void ends.unshift(end as () => unknown)
  try {
    const host = await openFirmware({ onTestFinished: onTestFinished as never })
    await host.hears('hello')
    host.send({ kind: 'set-rate', command: 0, rateHz: RATE_MAX_HZ })
    await host.hears('sample', 0, ({ sequence }) => sequence > 20)
    const counts = Math.round((countsPerS * TURNS_FOR_MS) / 1000)
    const half = { afterUs: (TURNS_FOR_MS * 1000) / 2 }
    // The pedal is pressed half way, and let go at the turning point.
    host.hand.move(
      { ...half, counts: Math.round(counts / 2), pressed: false },
      { ...half, counts, pressed: true },
      { afterUs: TURNS_FOR_MS * 1000, counts: 7, pressed: false },
      { afterUs: 100_000, counts: 7, pressed: false },
    )
    await load(host, host.board.nowUs() + 2 * TURNS_FOR_MS * 1000)
    const { at } = await host.hears('sample', 0, ({ sequence }) => sequence > 20)
    const from = host.told().length
    const { sentence: status } = await host.hears('status', Math.max(at, from))
    await host.lets(200)
    const { sentence: sample } = await host.hears('sample', host.told().length - 1)
    return status.sensorErrors === 0 && sample.counts === 7
  } finally {
    for (const end of ends) await end()
  }
}

let { low, high } = START
if (!(await follows(low))) throw new Error(`Counts are lost at ${low} a second already.`)
while ((high - low) / low > CLOSE_ENOUGH) {
  const middle = Math.round(Math.sqrt(low * high))
  const all = await follows(middle)
  console.log(`${middle} counts a second: ${all ? 'all there' : 'some are missing'}`)
  if (all) low = middle
  else high = middle
}
console.table([
  {
    'counts a second without a loss': low,
    'turns a minute at 16,384 a turn': Math.round((low * 60) / COUNTS_PER_TURN),
    'degrees a second at 16,384 a turn': Math.round((low * 360) / COUNTS_PER_TURN),
  },
])
process.exit(0)
