import { setTimeout as sleep } from 'node:timers/promises'
import { afterAll, bench, describe } from 'vitest'
import { openTwoWays, type TwoWays } from './live-two-ways.ts'

/** What the live stream adds to a bare `ws`: the goal is under 2 ms at the 99th percentile. */
const RATES_HZ = [200, 1000]
const SAMPLES = 3000
const WARM_UP = 300
const PAGES = 20

const one = await openTwoWays(1)
const many = await openTwoWays(PAGES)
afterAll(async () => {
  await one.close()
  await many.close()
})

function quantile(values: readonly number[], part: number): number {
  const sorted = values.toSorted((a, b) => a - b)
  return sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))] ?? Number.NaN
}

/** Both ways in the same tick, each first in turn, so that the machine's moods meet both. */
async function pace({ ways }: TwoWays, rateHz: number, samples: number): Promise<void> {
  const startMs = performance.now()
  for (let nth = 0; nth < samples; nth++) {
    const waitMs = startMs + (1000 * nth) / rateHz - performance.now()
    if (waitMs > 0) await sleep(waitMs)
    const [first, second] = nth % 2 === 0 ? [ways.bare, ways.live] : [ways.live, ways.bare]
    first.send()
    second.send()
  }
}

function print(rateHz: number, { bare, live }: Awaited<ReturnType<TwoWays['report']>>): void {
  const parts = [0.5, 0.99].map((part) => {
    const bareMs = quantile(bare, part)
    const liveMs = quantile(live, part)
    const added = (liveMs - bareMs).toFixed(3)
    return `${100 * part} %: ${bareMs.toFixed(3)} ms bare, ${liveMs.toFixed(3)} ms live, ${added} ms added`
  })
  console.log(`${rateHz} Hz, ${live.length} samples each: ${parts.join('; ')}`)
}

for (const rateHz of RATES_HZ)
  describe('sample to page: delay of the live stream over a bare ws', () => {
    const once = { iterations: 1, time: 0, warmupIterations: 0, warmupTime: 0 }
    const run = async () => {
      await pace(one, rateHz, WARM_UP)
      await one.report()
      await pace(one, rateHz, SAMPLES)
      print(rateHz, await one.report())
    }
    bench(`${SAMPLES} samples at ${rateHz} Hz`, run, once)
  })

describe(`one sample to ${PAGES} pages, until the last has it`, () => {
  for (const way of ['live', 'bare'] as const)
    bench(way, async () => {
      const whole = many.ways[way].arrived()
      many.ways[way].send()
      await whole
    })
})
