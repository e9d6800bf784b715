import { describe, expect, test } from 'vitest'
import { makeRandom } from '../../../../firmware-protocol/bench/random.ts'
import { lineClock } from '../../../../server/blocks/line-clock.ts'
import { BAD } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock, type Row } from './one-block.ts'

interface Wire {
  seconds: number
  rateHz: number
  leastS: number
  jitterS: number
  /** Lines come together at the end of such a stretch, as from a USB adapter's latency timer. */
  burstS?: number
  /** These readings never come. */
  lost?: (nth: number) => boolean
  /** The station was busy from here to there: all lines between come at its end. */
  stall?: readonly [fromS: number, toS: number]
  /** Each period is off by up to this share, by chance. */
  wander?: number
}

interface Heard {
  trueS: number
  row: Row
}

function readingsOver(wire: Wire, seed: number): Heard[] {
  const random = makeRandom(seed, 'line')
  const [stallFromS, stallToS] = wire.stall ?? [0, 0]
  let lastS = 0
  let trueS = 100
  return Array.from({ length: wire.seconds * wire.rateHz }, (_, nth) => {
    const share = wire.wander ?? 0
    if (nth > 0) trueS += (1 + random.between(-share, share)) / wire.rateHz
    const sentS = trueS + wire.leastS + random.between(0, wire.jitterS)
    const heardS = wire.burstS ? Math.ceil(sentS / wire.burstS) * wire.burstS : sentS
    const freeS = heardS > stallFromS && heardS < stallToS ? stallToS : heardS
    lastS = Math.max(lastS, freeS)
    return { trueS, row: { timeS: lastS, value: nth } }
  }).filter((_, nth) => !wire.lost?.(nth))
}

/** Error of each time, less the least delay that cannot be seen from one side. */
function errorsS(wire: Wire, seed: number): { atS: number; errorS: number }[] {
  const heard = readingsOver(wire, seed)
  const out = oneBlock(lineClock).feed(heard.map(({ row }) => row))
  return out.map(({ timeS }, nth) => {
    const { trueS } = heard[nth]!
    return { atS: trueS - 100, errorS: timeS - trueS - wire.leastS }
  })
}

const worst = (errors: readonly { errorS: number }[]) =>
  Math.max(...errors.map(({ errorS }) => Math.abs(errorS)))
const QUIET: Wire = { seconds: 40, rateHz: 200, leastS: 0.002, jitterS: 0.001 }
const BURSTS: Wire = { ...QUIET, burstS: 0.016 }

describe('the time of a reading, against the true one', () => {
  test.each<[string, Wire, number]>([
    ['no jitter', { ...QUIET, jitterS: 0 }, 1e-6],
    ['1 ms of jitter', QUIET, 0.0005],
    ['10 ms of jitter', { ...QUIET, jitterS: 0.01 }, 0.002],
    // 5 ms and 16 ms meet on a grid of 1 ms: within it no arrival tells where the readings lie.
    ['200 Hz in bursts of 16 ms', BURSTS, 0.0025],
    ['97 Hz in bursts of 16 ms', { ...BURSTS, rateHz: 97 }, 0.0015],
    ['50 Hz in bursts of 16 ms', { ...BURSTS, rateHz: 50 }, 0.0045],
    ['11 Hz in bursts of 16 ms', { ...BURSTS, rateHz: 11 }, 0.005],
    ['10 Hz with 3 ms of jitter', { ...QUIET, rateHz: 10, jitterS: 0.003 }, 0.002],
  ])('%s', (_, wire, limitS) => {
    for (const seed of [1, 2, 3])
      expect(worst(errorsS(wire, seed).filter(({ atS }) => atS > 5))).toBeLessThan(limitS)
  })

  test.each([200, 97, 50])('from the second second on bursts show no jerk at %d Hz', (rateHz) => {
    const heard = readingsOver({ ...BURSTS, rateHz }, 5)
    const times = oneBlock(lineClock).feed(heard.map(({ row }) => row))
    const steps = times.slice(1).map(({ timeS }, nth) => (timeS - times[nth]!.timeS) * rateHz)
    const settled = steps.slice(rateHz * 1.2)
    expect(Math.min(...settled)).toBeGreaterThan(0.97)
    expect(Math.max(...settled)).toBeLessThan(1.03)
  })

  test('once the rhythm is known, no reading is taken after it has come', () => {
    const heard = readingsOver({ ...BURSTS, lost: (nth) => nth % 301 === 300 }, 7)
    const out = oneBlock(lineClock).feed(heard.map(({ row }) => row))
    const late = out.filter(
      ({ timeS }, nth) => nth > 1000 && timeS > heard[nth]!.row.timeS! + 0.0005,
    )
    expect(late).toEqual([])
  })
})

describe('lines that are lost', () => {
  test.each([
    ['one of them, in bursts', BURSTS, (nth: number) => nth === 2000],
    ['seven in a row, in bursts', BURSTS, (nth: number) => nth >= 2000 && nth < 2007],
    ['one a second, in bursts', BURSTS, (nth: number) => nth % 200 === 77],
    ['one of a slow sensor', { ...QUIET, rateHz: 10 }, (nth: number) => nth === 150],
    ['every tenth of a slow sensor', { ...QUIET, rateHz: 10 }, (nth: number) => nth % 10 === 9],
  ] as [string, Wire, (nth: number) => boolean][])('%s: time is right again', (_, wire, lost) => {
    const errors = errorsS({ ...wire, lost }, 1)
    const after = errors.filter(({ atS }) => atS > 20)
    const periodS = 1 / wire.rateHz
    expect(worst(errors.filter(({ atS }) => atS > 5))).toBeLessThan(8 * periodS)
    const wrong = after.filter(({ errorS }) => Math.abs(errorS) > 0.5 * periodS + 0.001)
    expect(wrong.length).toBeLessThan(after.length * 0.3)
    expect(Math.abs(errors.at(-1)!.errorS)).toBeLessThan(0.8 * periodS)
  })

  test('of a slow sensor move no time at all: the gap is seen at once', () => {
    const errors = errorsS({ ...QUIET, rateHz: 10, lost: (nth) => nth === 150 }, 1)
    expect(worst(errors.filter(({ atS }) => atS > 5))).toBeLessThan(0.001)
  })
})

describe('a station that was busy', () => {
  test.each([
    ['0.2 s at 200 Hz', BURSTS, [20, 20.2]],
    ['1.5 s at 200 Hz', { ...QUIET, jitterS: 0 }, [20, 20.9]],
    ['0.3 s at 10 Hz', { ...QUIET, rateHz: 10 }, [20.05, 20.35]],
  ] as [string, Wire, [number, number]][])(
    '%s: late lines are not lost lines',
    (_, wire, stall) => {
      const shifted = [100 + stall[0], 100 + stall[1]] as const
      const errors = errorsS({ ...wire, stall: shifted }, 1)
      const after = errors.filter(({ atS }) => atS > 23)
      expect(worst(after)).toBeLessThan(0.5 / wire.rateHz + 0.001)
    },
  )
})

describe('another rhythm', () => {
  const joined = (...parts: readonly Heard[][]): Heard[] => {
    let offsetS = 0
    return parts.flatMap((part) => {
      const moved = part.map(({ trueS, row }) => ({
        trueS: trueS + offsetS,
        row: { ...row, timeS: row.timeS! + offsetS },
      }))
      offsetS = (moved.at(-1)?.trueS ?? 0) - 100 + 0.01
      return moved
    })
  }
  test.each([
    [200, 100],
    [100, 200],
    [50, 45],
    [10, 20],
    [20, 10],
  ])('from %d Hz to %d Hz is learned within three seconds', (before, after) => {
    const heard = joined(
      readingsOver({ ...QUIET, rateHz: before, seconds: 12 }, 1),
      readingsOver({ ...QUIET, rateHz: after, seconds: 12 }, 2),
    )
    const out = oneBlock(lineClock).feed(heard.map(({ row }) => row))
    const fromS = 100 + 12 + 4
    const errors = out.flatMap(({ timeS }, nth) => {
      const { trueS } = heard[nth]!
      return trueS > fromS ? [{ errorS: timeS - trueS - QUIET.leastS }] : []
    })
    expect(worst(errors)).toBeLessThan(0.8 / after)
  })

  test('a sketch whose period wanders by a fifth is followed to within a few periods', () => {
    const errors = errorsS({ ...BURSTS, rateHz: 100, wander: 0.2 }, 3)
    expect(worst(errors.filter(({ atS }) => atS > 5))).toBeLessThan(0.045)
  })

  test('after a pause it begins anew, by arrival', () => {
    const first = readingsOver({ ...QUIET, seconds: 4 }, 1).map(({ row }) => row)
    const out = oneBlock(lineClock).feed([...first, { timeS: 120, value: 1 }])
    expect(out.at(-1)?.timeS).toBe(120)
  })
})

test('a reading alone has its arrival as its time, and no time goes back', () => {
  const block = oneBlock(lineClock)
  expect(block.feed([{ timeS: 7.5, value: 9 }])[0]).toMatchObject({ timeS: 7.5, value: 9 })
  const [before] = block.feed([{ timeS: 7, value: 9 }])
  expect(before?.timeS).toBe(7.5)
})

test('a row without a reading moves nothing; a bad reading is a reading', () => {
  const rows = oneBlock(lineClock).feed([
    { timeS: 7.5, value: 1 },
    { timeS: 8, value: nothing },
    { timeS: 8.1, value: flawed(3, BAD) },
  ])
  expect(rows.map(({ timeS, quality }) => [timeS, quality])).toEqual([
    [7.5, 0],
    [7.5, 3],
    [8.1, 2],
  ])
})

test('any arrivals at all give finite times that never go back (seed 9)', () => {
  const random = makeRandom(9, 'arrivals')
  let timeS = 0
  const rows = Array.from({ length: 20_000 }, (_, nth) => {
    const kind = random.between(0, 1)
    timeS += kind < 0.6 ? 0 : kind < 0.95 ? random.between(0, 0.01) : random.between(0, 0.9)
    return { timeS, value: nth }
  })
  const out = oneBlock(lineClock).feed(rows)
  out.forEach(({ timeS }, nth) => {
    expect(timeS).toBeGreaterThanOrEqual(out[nth - 1]?.timeS ?? 0)
  })
})
