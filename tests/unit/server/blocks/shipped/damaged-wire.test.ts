import { describe, expect, test } from 'vitest'
import { makeRandom, type Random } from '../../../../../firmware-protocol/bench/random.ts'
import type { BendMessage } from '../../../../../server/blocks/bend-record.ts'
import type { DeviceMessage, LineCounters } from '../../../../../server/blocks/device-feed.ts'
import { catalogue } from '../../../../../server/blocks/index.ts'
import type { LiveRun } from '../../../../../server/blocks/live-feed.ts'
import { dieEncoderChain } from '../../../../../server/blocks/shipped/die-encoder.ts'
import { compileChain } from '../../../../../server/chain/chain.ts'
import type { RawLine } from '../../../../../server/chain/raw-line.ts'
import { COUNTS_PER_TURN, fromDevice, fromHost, helloText, sampleText } from '../wire.ts'

/** A slow bend, so that the true angle at a sample's time is known to a hundredth of a degree. */
const SECONDS = 12
const trueDeg = (timeS: number) => {
  if (timeS < 7) return Math.min(60, Math.max(0, (timeS - 1) * 12))
  return Math.max(57, 60 - (timeS - 7) * 10)
}

const clean = (): RawLine[] => [
  fromDevice(helloText(), 0),
  ...Array.from({ length: SECONDS * 200 }, (_, nth) => {
    const counts = Math.round((trueDeg(nth / 200) / 360) * COUNTS_PER_TURN)
    return fromDevice(sampleText({ sequence: nth, tickUs: nth * 5000, counts }), nth / 200)
  }),
]

const withCommands = (lines: readonly RawLine[]) => {
  const at = lines.findIndex(({ arrivalS }) => arrivalS >= 0.9)
  const datum = fromHost('datum', 0.9)
  const close = fromHost('close accepted', SECONDS)
  return [...lines.slice(0, at), datum, ...lines.slice(at), close]
}

type Damage = (text: string, random: Random) => string[]

const place = (text: string, random: Random) => Math.floor(random.between(0, text.length))
const noise = (random: Random) =>
  Array.from({ length: 40 }, () => String.fromCharCode(random.between(0, 256))).join('')

const damages: Record<string, Damage> = {
  'lines are lost': () => [],
  'lines come twice': (text) => [text, text],
  'a character is changed': (text, random) => {
    const at = place(text, random)
    return [text.slice(0, at) + String.fromCharCode(random.between(32, 127)) + text.slice(at + 1)]
  },
  'two neighbouring digits are swapped': (text, random) => {
    const at = place(text, random)
    return [
      text.slice(0, at) +
        text
          .slice(at, at + 2)
          .split('')
          .reverse()
          .join('') +
        text.slice(at + 2),
    ]
  },
  'the end is torn off': (text, random) => [text.slice(0, place(text, random))],
  'the beginning is torn off': (text, random) => [text.slice(place(text, random))],
  'a piece in the middle is missing': (text, random) => {
    const at = place(text, random)
    return [text.slice(0, at) + text.slice(at + 5)]
  },
  'noise comes between': (text, random) => [text, noise(random)],
  'noise comes instead': (_, random) => [noise(random)],
  'a line of another device comes between': (text) => [text, '$GPXDR,A,12.3,D,X*00'],
}

function damaged(damage: Damage, seed: number, share: number): RawLine[] {
  const random = makeRandom(seed, 'damage')
  return clean().flatMap((line, nth) =>
    nth > 0 && random.between(0, 1) < share
      ? damage(line.text, random).map((text) => ({ ...line, text }))
      : [line],
  )
}

function run(lines: readonly RawLine[]) {
  const chain = compileChain(dieEncoderChain, catalogue)
  const live: { timeS: number; angleDeg: number; quality: number }[] = []
  const bend: BendMessage[] = []
  let counters: Readonly<LineCounters> | null = null
  chain.on('live', (message) => {
    const { timeS, angleDeg, quality } = message as LiveRun
    timeS.forEach((t, n) => {
      live.push({ timeS: t, angleDeg: angleDeg[n]!, quality: quality[n]! })
    })
  })
  chain.on('bend', (message) => bend.push(message as BendMessage))
  chain.on('device', (message) => {
    const told = message as DeviceMessage
    if (told.type === 'counters') counters = told.counters
  })
  chain.push(withCommands(lines))
  const draft = bend.flatMap((message) => (message.type === 'draft' ? [message.draft] : []))
  return { live, draft, counters: counters as Readonly<LineCounters> | null }
}

const cases = Object.entries(damages).flatMap(([name, damage]) =>
  [1, 2].map((seed) => [name, seed, damage] as const),
)

describe.each(cases)('%s (seed %i)', (name, seed, damage) => {
  const { live, draft, counters } = run(damaged(damage, seed, 0.1))

  test('no good value is wrong', () => {
    // A corner of the path costs the smoother 0.2°, and the median of three its one sample: 0.06° at 12°/s.
    const wrong = live.filter(
      ({ timeS, angleDeg, quality }) =>
        quality === 0 && !(Math.abs(angleDeg - trueDeg(timeS)) < 0.35),
    )
    expect(wrong).toEqual([])
    expect(live.length).toBeGreaterThan(SECONDS * 200 * 0.85)
  })

  test('the bend is measured all the same', () => {
    expect(draft).toHaveLength(1)
    expect(draft[0]?.goes).toHaveLength(1)
    expect(draft[0]?.goes[0]?.peakDeg).toBeCloseTo(60, 1)
    expect(draft[0]?.goes[0]?.releasedDeg).toBeCloseTo(57, 1)
  })

  test('what went wrong is counted', () => {
    const { badChecksum, malformed, overlong, unknown, gaps, duplicates } = counters!
    const all = badChecksum + malformed + overlong + unknown + gaps + duplicates
    expect(all, name).toBeGreaterThan(SECONDS * 200 * 0.05)
  })
})

test('a clean wire counts nothing', () => {
  expect(run(clean()).counters).toEqual({
    lines: SECONDS * 200 + 1,
    samples: SECONDS * 200,
    badChecksum: 0,
    malformed: 0,
    overlong: 0,
    unknown: 0,
    gaps: 0,
    duplicates: 0,
  })
})

test('half of all lines lost: the bend is measured all the same', () => {
  const { draft } = run(damaged(() => [], 5, 0.5))
  expect(draft[0]?.goes[0]?.peakDeg).toBeCloseTo(60, 1)
  expect(draft[0]?.goes[0]?.releasedDeg).toBeCloseTo(57, 1)
})
