import { describe, expect, test } from 'vitest'
import { makeRandom } from '../../../../firmware-protocol/bench/random.ts'
import { clock } from '../../../../server/blocks/clock.ts'
import { oneBlock, type Row } from './one-block.ts'

const ROUND = 2 ** 32

interface Wire {
  seconds: number
  rateHz: number
  /** How fast the device's clock goes against the station's, parts per million. */
  driftPpm: number
  /** Every line needs this long. */
  leastS: number
  /** And up to this much more, by chance. */
  jitterS: number
  /** Lines come together at the end of such a stretch, as from a USB adapter's latency timer. */
  burstS?: number
  firstTick?: number
}

/** Ticks and arrivals whose true times are known: `trueS` is when the sample was taken. */
function samplesOver(wire: Wire, seed: number): { trueS: number; row: Row }[] {
  const random = makeRandom(seed, 'wire')
  let last = 0
  return Array.from({ length: wire.seconds * wire.rateHz }, (_, nth) => {
    const trueS = 100 + nth / wire.rateHz
    const deviceS = (nth / wire.rateHz) * (1 + wire.driftPpm * 1e-6)
    const sentS = trueS + wire.leastS + random.between(0, wire.jitterS)
    const heardS = wire.burstS ? Math.ceil(sentS / wire.burstS) * wire.burstS : sentS
    last = Math.max(last, heardS)
    const tick = (Math.round(deviceS * 1e6) + (wire.firstTick ?? 0)) % ROUND
    return { trueS, row: { timeS: last, tick, counts: nth } }
  })
}

/** Error of each sample's time, less the least delay that cannot be seen from one side. */
function errorsS(wire: Wire, seed: number): number[] {
  const samples = samplesOver(wire, seed)
  const out = oneBlock(clock).feed(samples.map(({ row }) => row))
  return out.map(({ timeS }, nth) => timeS - samples[nth]!.trueS - wire.leastS)
}

const QUIET: Wire = { seconds: 60, rateHz: 200, driftPpm: 0, leastS: 0.002, jitterS: 0.001 }
/**
 * Samples every 5 ms and bursts every 16 ms meet on a grid of 1 ms: within it no arrival tells where the
 * samples lie, so 1 ms is what any estimate from one side can be off.
 */
const ON_GRID = 0.0011
const worst = (errors: readonly number[]) => Math.max(...errors.map(Math.abs))
const after = (errors: readonly number[], seconds: number) => errors.slice(seconds * 200)

describe('the time of a sample, against the true one', () => {
  test.each([
    ['no jitter', { ...QUIET, jitterS: 0 }, 1e-9],
    ['1 ms of jitter', QUIET, 0.0003],
    ['40 ppm fast', { ...QUIET, driftPpm: 40 }, 0.0005],
    ['40 ppm slow', { ...QUIET, driftPpm: -40 }, 0.0005],
    ['10 ms of jitter', { ...QUIET, jitterS: 0.01 }, 0.001],
    ['10 ms of jitter, 40 ppm slow', { ...QUIET, jitterS: 0.01, driftPpm: -40 }, 0.001],
    ['bursts of 16 ms', { ...QUIET, burstS: 0.016 }, ON_GRID],
    ['bursts of 16 ms, 40 ppm fast', { ...QUIET, burstS: 0.016, driftPpm: 40 }, ON_GRID],
    ['bursts of 16 ms, 40 ppm slow', { ...QUIET, burstS: 0.016, driftPpm: -40 }, ON_GRID],
    ['a ceramic resonator, 0.4 % fast', { ...QUIET, driftPpm: 4000 }, 0.001],
    ['a ceramic resonator, 0.4 % slow', { ...QUIET, driftPpm: -4000 }, 0.001],
    ['a tick that comes round', { ...QUIET, firstTick: ROUND - 20_000_000 }, 0.0003],
    [
      'all at once',
      { ...QUIET, firstTick: ROUND - 30_000_000, burstS: 0.016, driftPpm: 40, jitterS: 0.003 },
      0.0015,
    ],
  ] as [string, Wire, number][])('%s', (_, wire, limitS) => {
    for (const seed of [1, 2, 3]) expect(worst(after(errorsS(wire, seed), 20))).toBeLessThan(limitS)
  })

  test('from the first second on bursts of 16 ms show no jerk: steps stay within 2 %', () => {
    const samples = samplesOver({ ...QUIET, burstS: 0.016, driftPpm: 40 }, 5)
    const times = oneBlock(clock)
      .feed(samples.map(({ row }) => row))
      .map(({ timeS }) => timeS)
    const steps = times.slice(1).map((timeS, nth) => timeS - times[nth]!)
    expect(Math.min(...steps)).toBeGreaterThan(0.005 * 0.979)
    expect(Math.max(...steps)).toBeLessThan(0.005 * 1.021)
  })

  test('0.4 % of drift costs no more than that before the slope is known, at once', () => {
    const errors = errorsS({ ...QUIET, driftPpm: -4000 }, 1)
    expect(worst(errors.slice(0, 8 * 200))).toBeLessThan(0.004 * 8.5)
  })
})

test('one sample gets its arrival as its time', () => {
  const [row] = oneBlock(clock).feed([{ timeS: 7.5, tick: 12345, counts: 9 }])
  expect(row).toMatchObject({ timeS: 7.5, value: 9, quality: 0 })
})

test('a row without a tick keeps the time of the last sample, and no value', () => {
  const rows = oneBlock(clock).feed([
    { timeS: 7.5, tick: 0, counts: 9 },
    { timeS: 8.5 },
    { timeS: 9.5, tick: 2_000_000, counts: 9 },
  ])
  expect(rows.map(({ timeS }) => timeS)).toEqual([7.5, 7.5, 9.5])
  expect(rows[1]?.quality).toBe(3)
})

test('before any sample there is no time but the start', () => {
  expect(oneBlock(clock).feed([{ timeS: 8 }])[0]).toMatchObject({ timeS: 0, quality: 3 })
})

describe('a device that began anew', () => {
  const restarts = (rows: Row[]) =>
    oneBlock(clock)
      .feed(rows)
      .flatMap(({ all }, row) => (all['restart'] ? [row] : []))
  const first = { timeS: 10, tick: 5_000_000, counts: 0 }
  const hello = (start: boolean) => ({
    kind: 'hello',
    protocol: 1,
    firmware: 'f',
    board: 'b',
    sensor: 'incremental',
    countsPerTurn: 1000,
    rateHz: 200,
    start,
  })

  test.each<[string, Row[], number[]]>([
    ['not the first sample', [first], []],
    ['not the next one', [first, { timeS: 10.005, tick: 5_005_000, counts: 0 }], []],
    ['a tick that steps back', [first, { timeS: 10.5, tick: 100_000, counts: 0 }], [1]],
    ['a tick a second ahead', [first, { timeS: 10.5, tick: 7_000_000, counts: 0 }], [1]],
    [
      'not one 9 s late: the station was busy',
      [first, { timeS: 19, tick: 5_005_000, counts: 0 }],
      [],
    ],
    ['one 11 s late', [first, { timeS: 21.1, tick: 5_005_000, counts: 0 }], [1]],
    ['an unasked hello', [first, { timeS: 11, device: hello(true) }], [1]],
    ['not an asked one', [first, { timeS: 11, device: hello(false) }], []],
    ['not a hello before any sample', [{ timeS: 11, device: hello(true) }, first], []],
    [
      'told once, by hello and then by tick',
      [first, { timeS: 11, device: hello(true) }, { timeS: 11.1, tick: 100, counts: 0 }],
      [1],
    ],
    [
      'not a status',
      [
        first,
        { timeS: 11, device: { kind: 'status' } },
        { timeS: 11.1, tick: 6_100_000, counts: 0 },
      ],
      [],
    ],
    ['not an hour of silence', [first, { timeS: 3610, tick: 3_605_000_000, counts: 0 }], []],
    [
      'not three hours of silence, with rounds of the tick in it',
      [first, { timeS: 10_810, tick: (5_000_000 + 10_800e6) % ROUND, counts: 0 }],
      [],
    ],
    [
      'three hours of silence and another clock',
      [first, { timeS: 10_810, tick: 77_000_000, counts: 0 }],
      [1],
    ],
  ])('%s', (_, rows, expected) => {
    expect(restarts(rows)).toEqual(expected)
  })

  test('its time goes on from its arrival, never back', () => {
    const rows = oneBlock(clock).feed([
      first,
      { timeS: 10.005, tick: 5_005_000, counts: 0 },
      { timeS: 13, tick: 300_000, counts: 0 },
      { timeS: 13.005, tick: 305_000, counts: 0 },
    ])
    expect(rows.map(({ timeS }) => timeS)).toEqual([
      10,
      expect.closeTo(10.005, 6),
      13,
      expect.closeTo(13.005, 6),
    ])
  })

  test('what was learned of the old clock is forgotten', () => {
    const old = samplesOver({ ...QUIET, driftPpm: 4000 }, 1).map(({ row }) => row)
    const anew = samplesOver({ ...QUIET, driftPpm: 0 }, 2)
    const block = oneBlock(clock)
    block.feed(old)
    const shifted = anew.map(({ row }) => ({ ...row, timeS: row.timeS! + 1000 }))
    const out = block.feed(shifted)
    const errors = out.map(({ timeS }, nth) => timeS - anew[nth]!.trueS - 1000 - QUIET.leastS)
    expect(worst(after(errors, 2))).toBeLessThan(0.001)
  })
})

test('a stall of the station for 3 s delays lines, but moves no time', () => {
  const samples = samplesOver({ ...QUIET, jitterS: 0 }, 1)
  const stalled = samples.map(({ row }) => ({
    ...row,
    timeS: row.timeS! > 130 && row.timeS! < 133 ? 133 : row.timeS!,
  }))
  const out = oneBlock(clock).feed(stalled)
  const errors = out.map(({ timeS }, nth) => timeS - samples[nth]!.trueS - QUIET.leastS)
  expect(worst(errors)).toBeLessThan(1e-6)
})

test.each([0.5, 1, 5])(
  'a device clock that stood still for %s s is followed within 10 s',
  (stillS) => {
    const samples = samplesOver({ ...QUIET, seconds: 90 }, 1)
    const stepped = samples.map(({ trueS, row }) =>
      trueS < 130 ? row : { ...row, tick: Number(row['tick']) - stillS * 1e6 },
    )
    const kept = stepped.filter(
      (_, nth) => !(samples[nth]!.trueS >= 130 && samples[nth]!.trueS < 130 + stillS),
    )
    const trueTimes = samples
      .map(({ trueS }) => trueS)
      .filter((trueS) => !(trueS >= 130 && trueS < 130 + stillS))
    const out = oneBlock(clock).feed(kept)
    const errors = out.map(({ timeS }, nth) => timeS - trueTimes[nth]! - QUIET.leastS)
    const from = trueTimes.findIndex((trueS) => trueS > 130 + stillS + 10)
    expect(worst(errors.slice(from))).toBeLessThan(0.002)
    const times = out.map(({ timeS }) => timeS)
    expect(times.every((timeS, nth) => nth === 0 || timeS >= times[nth - 1]!)).toBe(true)
  },
)
