import { describe, expect, test } from 'vitest'
import { makeRandom } from '../../../../../firmware-protocol/bench/random.ts'
import { playScript } from '../../../../../firmware-protocol/bench/scripted.ts'
import type { BendMessage } from '../../../../../server/blocks/bend-record.ts'
import { catalogue } from '../../../../../server/blocks/index.ts'
import type { LiveRun } from '../../../../../server/blocks/live-feed.ts'
import { compileChain } from '../../../../../server/chain/chain.ts'
import type { RawLine } from '../../../../../server/chain/raw-line.ts'
import type { Wire } from '../../../../../server/messages/wire.ts'
import { AS_BOARD_SAYS, chainFor } from '../../../../../server/station/chain-for.ts'
import { xdrLine } from '../../../../support/dialect-lines.ts'
import { COUNTS_PER_TURN, fromDevice, fromHost, helloText, sampleText } from '../wire.ts'

const START_S = 100
const RATE_HZ = 200
const RATE_DEG_PER_S = 12
const AIM_DEG = 60
const LEAD_S = 0.2
/** At rest, then as steadily as a die ever turns, through the place where the stop is to be called. */
const REST_S = 6
const SEGMENTS = [{ holdS: REST_S }, { moveToDeg: 72, rateDegPerS: RATE_DEG_PER_S }, { holdS: 2 }]
const LASTS_S = REST_S + 72 / RATE_DEG_PER_S + 2

const PORT = { kind: 'serial', path: '/dev/x', baud: 115_200 } as const
interface Dialect {
  readonly wire: Wire
  readonly hello: readonly RawLine[]
  line(nth: number, readingDeg: number): string
}
const DIALECTS: Readonly<Record<string, Dialect>> = {
  native: {
    wire: { ...PORT, dialect: 'native' },
    hello: [fromDevice(helloText({ sensor: 'incremental' }), START_S - 0.1)],
    line: (nth, deg) =>
      sampleText({
        sequence: nth % 65_536,
        // A crystal of a hobby board, 40 parts per million fast.
        tickUs: Math.round((nth * 1e6 * 1.00004) / RATE_HZ),
        counts: Math.round((deg / 360) * COUNTS_PER_TURN),
      }),
  },
  'nmea-xdr': {
    wire: { ...PORT, dialect: 'nmea-xdr', options: {} },
    hello: [],
    line: (_, deg) => xdrLine(`A,${deg.toFixed(2)},D,BEND`),
  },
  number: {
    wire: { ...PORT, dialect: 'number', options: {} },
    hello: [],
    line: (_, deg) => deg.toFixed(2),
  },
}

/** The latency timer of a common USB adapter (application note AN232B-04, from memory). */
const BURST_S = 0.016

/** When bytes of a moment are handed on. */
type Adapter = (sentS: number, bytes: number) => number

/**
 * As a USB adapter does: bytes are held until the latency timer runs out, or until a packet of 62 bytes is
 * full; the host then sees them at the next frame of 1 ms, and a little later by chance.
 */
function latencyTimer(seed: number): Adapter {
  const random = makeRandom(seed, 'adapter')
  let timerS = 0
  let held = 0
  return (sentS, bytes) => {
    if (sentS > timerS) {
      timerS = sentS + BURST_S
      held = 0
    }
    held += bytes
    const atS = held >= 62 ? sentS : timerS
    if (held >= 62) timerS = sentS
    return Math.ceil(atS * 1000) / 1000 + random.between(0, 0.0004)
  }
}

const prompt: Adapter = (sentS) => sentS + 0.001

function session({ hello, line }: Dialect, adapter: Adapter, seed: number): RawLine[] {
  const random = makeRandom(seed, 'noise')
  const motion = playScript(SEGMENTS)
  const lines: RawLine[] = [...hello]
  let lastS = 0
  for (let nth = 0; nth < LASTS_S * RATE_HZ; nth++) {
    const trueS = START_S + nth / RATE_HZ
    const text = line(nth, 10 + motion.angleDeg() + 0.02 * random.normal())
    // The line itself takes its time at 115200 baud.
    const sentS = trueS + 0.001 + ((text.length + 2) * 10) / 115_200
    lastS = Math.max(lastS, adapter(sentS, text.length + 2))
    lines.push(fromDevice(text, lastS))
    if (nth === (REST_S - 1) * RATE_HZ)
      lines.push(fromHost('datum', lastS), fromHost(`aim ${AIM_DEG} ${LEAD_S} 1`, lastS))
    motion.advance(1 / RATE_HZ)
  }
  return lines
}

function run(dialect: Dialect, adapter: Adapter, seed: number) {
  const chain = compileChain(chainFor(AS_BOARD_SAYS, dialect.wire), catalogue)
  const rates: { timeS: number; degPerS: number; deg: number }[] = []
  let cue: { timeS: number; angleDeg: number; rateDegPerS: number } | null = null
  chain.on('live', (message) => {
    const { timeS, rateDegPerS, angleDeg } = message as LiveRun
    timeS.forEach((at, nth) => {
      rates.push({ timeS: at, degPerS: rateDegPerS[nth]!, deg: angleDeg[nth]! })
    })
  })
  chain.on('bend', (message) => {
    const said = message as BendMessage
    if (said.type === 'cue' && said.event.cue === 'stop') cue ??= said.event as never
  })
  chain.push(session(dialect, adapter, seed))
  const from = START_S + REST_S + 1
  const steady = rates.filter(({ timeS }) => timeS > from && timeS < from + 4)
  return { steady, cue: cue as { timeS: number } | null }
}

/** Root mean square of the rate's error against the die's own. */
const rateError = (steady: readonly { degPerS: number }[]) =>
  Math.sqrt(
    steady.reduce((sum, { degPerS }) => sum + (degPerS - RATE_DEG_PER_S) ** 2, 0) / steady.length,
  )
/** Where the die truly is when the stop is called: when the line that calls it has come would be later. */
const trueDegAt = (timeS: number) => (timeS - START_S - REST_S) * RATE_DEG_PER_S

const SEEDS = [1, 2, 3]

describe.each(Object.entries(DIALECTS))('bursts of an adapter, %s', (_, dialect) => {
  test('disturb the rate by less than a twentieth of what the noise does (seeds 1 to 3)', () => {
    for (const seed of SEEDS) {
      const calm = rateError(run(dialect, prompt, seed).steady)
      const burst = rateError(run(dialect, latencyTimer(seed), seed).steady)
      expect(calm).toBeLessThan(0.6)
      expect(burst).toBeLessThan(1.05 * calm)
    }
  })

  test('move the place of the stop by less than one burst lasts (seeds 1 to 3)', () => {
    const due = AIM_DEG - LEAD_S * RATE_DEG_PER_S
    for (const seed of SEEDS) {
      const calm = trueDegAt(run(dialect, prompt, seed).cue?.timeS ?? 0)
      const burst = trueDegAt(run(dialect, latencyTimer(seed), seed).cue?.timeS ?? 0)
      expect(Math.abs(calm - due)).toBeLessThan(0.25)
      expect(Math.abs(burst - calm)).toBeLessThan(BURST_S * RATE_DEG_PER_S)
    }
  })
})

test('without the clocks bursts would show: by arrival the rate is off by far more', () => {
  const adapter = latencyTimer(1)
  const [dialect] = [DIALECTS['number']!]
  const file = chainFor(AS_BOARD_SAYS, dialect.wire)
  const blind = {
    ...file,
    blocks: file.blocks.filter(({ kind }) => kind !== 'line-clock'),
    connections: file.connections.flatMap(({ from, to }) => {
      if (to === 'line-clock.value') return []
      return [{ from: from === 'line-clock.value' ? 'decode.value' : from, to }]
    }),
  }
  const chain = compileChain(blind, catalogue)
  const steady: { degPerS: number }[] = []
  chain.on('live', (message) => {
    const { timeS, rateDegPerS } = message as LiveRun
    timeS.forEach((at, nth) => {
      if (at > START_S + REST_S + 1 && at < START_S + REST_S + 5)
        steady.push({ degPerS: rateDegPerS[nth]! })
    })
  })
  chain.push(session(dialect, adapter, 1))
  expect(rateError(steady)).toBeGreaterThan(3 * rateError(run(dialect, latencyTimer(1), 1).steady))
})
