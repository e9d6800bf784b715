import type { BendMessage } from '../../server/blocks/bend-record.ts'
import type { DeviceMessage } from '../../server/blocks/device-feed.ts'
import { catalogue } from '../../server/blocks/index.ts'
import type { LiveRun } from '../../server/blocks/live-feed.ts'
import { dieEncoderChain } from '../../server/blocks/shipped/die-encoder.ts'
import { compileChain } from '../../server/chain/chain.ts'
import type { RawLine } from '../../server/chain/raw-line.ts'
import { fusedLoop, type Sink } from './chain-fused.ts'
import { rxjsPipeline } from './chain-rxjs.ts'

export interface Tally {
  samples: number
  events: number
  kept: number
  lines: number
  /** Of all that was shown: equal sums mean equal arithmetic. */
  sumS: number
  sumDeg: number
  sumRate: number
}

/** What came out of a run, so that nobody is fast by doing less. */
function tallySink(): { sink: Sink; tally: Tally } {
  const tally: Tally = {
    samples: 0,
    events: 0,
    kept: 0,
    lines: 0,
    sumS: 0,
    sumDeg: 0,
    sumRate: 0,
  }
  const sink: Sink = {
    live(timeS, angleDeg, rateDegPerS) {
      tally.samples += timeS.length
      for (let nth = 0; nth < timeS.length; nth++) {
        tally.sumS += timeS[nth]!
        tally.sumDeg += angleDeg[nth]!
        tally.sumRate += rateDegPerS[nth]!
      }
    },
    event: () => void tally.events++,
    raw: (kept) => {
      tally.kept += kept.length
    },
    counters: (lines) => {
      tally.lines = lines
    },
  }
  return { sink, tally }
}

type Push = (lines: readonly RawLine[]) => void

function chainPush(sink: Sink): Push {
  const chain = compileChain(dieEncoderChain, catalogue)
  chain.on('live', (message) => {
    const { timeS, angleDeg, rateDegPerS, quality } = message as LiveRun
    sink.live(timeS, angleDeg, rateDegPerS, quality)
  })
  chain.on('bend', (message) => {
    const told = message as BendMessage
    if (told.type === 'event') sink.event(told.event)
  })
  chain.on('raw', (message) => sink.raw(message as RawLine[]))
  chain.on('device', (message) => {
    const told = message as DeviceMessage
    if (told.type === 'counters') sink.counters(told.counters.lines, told.counters.samples)
  })
  return chain.push
}

/** Each runs the whole session in batches of the given size, from a fresh start, and says what came out. */
export const runners = {
  chain: (lines: readonly RawLine[], batch: number) => run(lines, batch, chainPush),
  fused: (lines: readonly RawLine[], batch: number) => run(lines, batch, fusedLoop),
  rxjs: (lines: readonly RawLine[], batch: number) =>
    run(lines, batch, (sink) => rxjsPipeline(sink, batch)),
}

function run(lines: readonly RawLine[], batch: number, make: (sink: Sink) => Push): Tally {
  const { sink, tally } = tallySink()
  const push = make(sink)
  for (let from = 0; from < lines.length; from += batch) push(lines.slice(from, from + batch))
  return tally
}
