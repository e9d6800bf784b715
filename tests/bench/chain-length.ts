import { catalogue } from '../../server/blocks/index.ts'
import { compileChain } from '../../server/chain/chain.ts'
import type { RawLine } from '../../server/chain/raw-line.ts'
import { compileRelays } from './chain-relay.ts'
import { busyness } from './figures.ts'

// What each further block in series costs, and each further block of a check, against ten of them.

const LENGTHS = [1, 10, 100, 1000]
const CHECKED = [10, 100, 1000, 4000]
const ROUNDS = 9
const ROUND_MS = 60

const lines: RawLine[] = Array.from({ length: 256 }, (_, nth) => ({
  arrivalS: nth / 200,
  from: 'device',
  text: String(90 + (nth % 7) / 100),
}))

/** Low-passes of the catalogue behind the decoder of plain numbers. */
function compileLowPasses(length: number) {
  const ids = Array.from({ length }, (_, nth) => `low-pass-${nth}`)
  return compileChain(
    {
      format: 'overbend-chain',
      version: 1,
      name: 'low-passes',
      revision: 1,
      blocks: [
        { id: 'link', kind: 'link' },
        { id: 'decode', kind: 'decode-number' },
        ...ids.map((id) => ({ id, kind: 'low-pass', parameters: { unit: '1', rateHz: 200 } })),
      ],
      connections: [
        { from: 'link.line', to: 'decode.line' },
        ...ids.map((id, nth) => ({
          from: nth === 0 ? 'decode.value' : `${ids[nth - 1]}.value`,
          to: `${id}.value`,
        })),
      ],
    },
    catalogue,
  )
}

/** @returns µs of one call, the least of some rounds: what others do on this machine only ever adds. */
function leastUs(act: () => void): number {
  for (const endMs = performance.now() + ROUND_MS; performance.now() < endMs; ) act()
  const rounds = Array.from({ length: ROUNDS }, () => {
    let calls = 0
    const startMs = performance.now()
    do {
      act()
      calls++
    } while (performance.now() < startMs + ROUND_MS)
    return ((performance.now() - startMs) * 1000) / calls
  })
  return Math.min(...rounds)
}

const round = (value: number) => Number(value.toPrecision(3))

/** What each block beyond the first costs: what a chain has anyway falls out. */
function costs(make: (length: number) => { push(all: readonly RawLine[]): void }) {
  const least = LENGTHS.map((length) => {
    const chain = make(length)
    return leastUs(() => chain.push(lines))
  })
  return LENGTHS.map((length, nth) => {
    const us = least[nth] ?? Number.NaN
    return { us, each: (us - (least[0] ?? 0)) / (length - 1) }
  })
}

console.log(busyness())
for (const [name, make] of [
  ['relays', compileRelays],
  ['low-passes', compileLowPasses],
] as const) {
  const all = costs(make)
  const ten = all[1]?.each ?? Number.NaN
  console.table(
    LENGTHS.map((length, nth) => ({
      [`${name} in series`]: length,
      'µs for 256 rows': round(all[nth]?.us ?? Number.NaN),
      'µs for each beyond the first': nth === 0 ? '' : round(all[nth]?.each ?? Number.NaN),
      'of that among ten': nth === 0 ? '' : round((all[nth]?.each ?? Number.NaN) / ten),
    })),
  )
}

const compiled = CHECKED.map((length) => leastUs(() => void compileLowPasses(length)) / length)
console.table(
  CHECKED.map((length, nth) => ({
    'blocks checked and compiled': length,
    ms: round(((compiled[nth] ?? Number.NaN) * length) / 1000),
    'µs a block': round(compiled[nth] ?? Number.NaN),
    'of that among ten': round((compiled[nth] ?? Number.NaN) / (compiled[0] ?? Number.NaN)),
  })),
)
