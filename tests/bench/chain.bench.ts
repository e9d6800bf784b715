import { bench, describe, expect } from 'vitest'
import { relayChain, relayFused, relayRxjs } from './chain-relay.ts'
import { runners } from './chain-runners.ts'
import { benchSession } from './chain-session.ts'

const session = benchSession(10)
const options = { time: 3000, warmupTime: 1000 }

// Nobody may be fast by doing less: all three must show the same values, to the last bit.
const whole = session.slice(0, 20_480)
const shown = runners.chain(whole, 256)
expect(runners.fused(whole, 256)).toEqual(shown)
expect(runners.rxjs(whole, 1)).toEqual(shown)

describe.each([256, 8])(`the shipped chain, ${session.length} lines in batches of %i`, (batch) => {
  bench('chain', () => void runners.chain(session, batch), options)
  bench('one hand-fused loop', () => void runners.fused(session, batch), options)
  bench('RxJS pipeline', () => void runners.rxjs(session, batch), options)
})

const lines = session.slice(0, 256)
const LENGTHS = [4, 16, 64]

for (const length of LENGTHS) {
  const chain = relayChain(length)
  const fused = relayFused(length)
  const rxjs = relayRxjs(length)
  const last = chain(lines)
  expect(fused(lines)).toBe(last)
  expect(rxjs(lines)).toBe(last)

  describe(`the way between blocks alone: ${length} relays, 256 lines`, () => {
    bench('chain', () => void chain(lines), { time: 1000 })
    bench('one hand-fused loop', () => void fused(lines), { time: 1000 })
    bench('RxJS pipeline', () => void rxjs(lines), { time: 1000 })
  })
}
