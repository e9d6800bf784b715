import { OneEuroFilter } from '1eurofilter'
import { describe, expect, test } from 'vitest'
import { alphaBeta } from '../../server/blocks/alpha-beta.ts'
import { type Biquad, lowPassBiquad, notchBiquad } from '../../server/blocks/biquad.ts'
import { lowPass } from '../../server/blocks/low-pass.ts'
import { median } from '../../server/blocks/median.ts'
import { notch } from '../../server/blocks/notch.ts'
import { oneEuro } from '../../server/blocks/one-euro.ts'
import { alphaOf, betaOf, stepTrack } from '../../server/blocks/tracking-gains.ts'
import { oneBlock } from '../unit/server/blocks/one-block.ts'

const feed = (
  block: Parameters<typeof oneBlock>[0],
  parameters: object,
  values: number[],
  rateHz: number,
) =>
  oneBlock(block, { unit: 'deg', ...parameters })
    .feed(values.map((value, nth) => ({ timeS: nth / rateHz, value })))
    .map(({ value }) => value)

/** |H| at a frequency, from the coefficients alone: the definition of a transfer function on the unit circle. */
function magnitude({ b0, b1, b2, a1, a2 }: Biquad, frequencyHz: number, rateHz: number): number {
  const w = (2 * Math.PI * frequencyHz) / rateHz
  const size = (c0: number, c1: number, c2: number) =>
    Math.hypot(
      c0 + c1 * Math.cos(w) + c2 * Math.cos(2 * w),
      c1 * Math.sin(w) + c2 * Math.sin(2 * w),
    )
  return size(b0, b1, b2) / size(1, a1, a2)
}

/**
 * R. Bristow-Johnson, "Cookbook formulae for audio equalizer biquad filter coefficients". A Butterworth
 * low-pass made with the bilinear transform has |H|² = 1 / (1 + (tan(πf/fs)/tan(πfc/fs))⁴): a textbook result,
 * from memory, reached without the cookbook's formulas.
 */
describe('low-pass', () => {
  test.each([
    [10, 200],
    [1, 200],
    [30, 100],
    [2, 1000],
    [90, 200],
  ])(
    'cut-off %d Hz at %d a second: −3.01 dB there, and the Butterworth curve elsewhere',
    (cutoffHz, rateHz) => {
      const filter = lowPassBiquad(cutoffHz, rateHz)
      expect(20 * Math.log10(magnitude(filter, cutoffHz, rateHz))).toBeCloseTo(-3.0103, 4)
      for (const share of [0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.49]) {
        const ratio = Math.tan(Math.PI * share) / Math.tan((Math.PI * cutoffHz) / rateHz)
        expect(magnitude(filter, share * rateHz, rateHz)).toBeCloseTo(
          1 / Math.sqrt(1 + ratio ** 4),
          9,
        )
      }
    },
  )

  test('at a quarter of the rate the formulas have a closed answer', () => {
    // fc = fs/4: w0 = π/2, cos 0, sin 1, α = √2/2; so b0 = 1/(2 + √2), b1 = 2·b0, a1 = 0, a2 = (2 − √2)/(2 + √2).
    const { b0, b1, b2, a1, a2 } = lowPassBiquad(50, 200)
    const half = 1 / (2 + Math.SQRT2)
    expect([b0, b1, b2]).toEqual([half, 2 * half, half].map((value) => expect.closeTo(value, 14)))
    expect(a1).toBeCloseTo(0, 14)
    expect(a2).toBeCloseTo((2 - Math.SQRT2) / (2 + Math.SQRT2), 14)
  })

  test('the block leaves 1/√2 of a sine at the cut-off', () => {
    const sine = Array.from({ length: 4000 }, (_, nth) => Math.sin((2 * Math.PI * 10 * nth) / 200))
    const tail = feed(lowPass, { cutoffHz: 10, rateHz: 200 }, sine, 200).slice(2000)
    const rms = Math.sqrt(tail.reduce((sum, value) => sum + value ** 2, 0) / tail.length)
    expect(rms * Math.SQRT2).toBeCloseTo(Math.SQRT1_2, 6)
  })
})

describe('notch', () => {
  test.each([
    [50, 5, 200],
    [50, 20, 1000],
    [8, 1, 100],
  ])('%d Hz, %d Hz wide, at %d a second', (centreHz, widthHz, rateHz) => {
    const filter = notchBiquad(centreHz, widthHz, rateHz)
    expect(magnitude(filter, centreHz, rateHz)).toBeCloseTo(0, 9)
    expect(magnitude(filter, 0, rateHz)).toBeCloseTo(1, 12)
    expect(magnitude(filter, rateHz / 2, rateHz)).toBeCloseTo(1, 12)
    // Of a second-order notch with bilinear transform: |H| = |x|/√(1 + x²), x = Q·(u − 1/u), u = tan/tan (memory).
    for (const share of [0.01, 0.1, 0.17, 0.3, 0.45]) {
      const u = Math.tan(Math.PI * share) / Math.tan((Math.PI * centreHz) / rateHz)
      const x = (centreHz / widthHz) * (u - 1 / u)
      expect(magnitude(filter, share * rateHz, rateHz)).toBeCloseTo(
        Math.abs(x) / Math.hypot(1, x),
        9,
      )
    }
  })

  test('the block takes out a hum and leaves what it sits on', () => {
    const hum = Array.from(
      { length: 2000 },
      (_, nth) => 30 + Math.sin((2 * Math.PI * 50 * nth) / 200),
    )
    const tail = feed(notch, { centreHz: 50, widthHz: 5, rateHz: 200 }, hum, 200).slice(1000)
    for (const value of tail) expect(value).toBeCloseTo(30, 5)
  })
})

/** The authors' own package, `1eurofilter`: G. Casiez, N. Roussel, D. Vogel, "1€ filter", CHI 2012. */
describe('one-euro against its authors', () => {
  test.each([
    [1, 0, 1],
    [1, 0.05, 1],
    [1.5, 0.1, 1],
    [0.3, 2, 5],
  ])('cut-off %d Hz, beta %d, cut-off of the rate %d Hz', (cutoffHz, beta, rateCutoffHz) => {
    const theirs = new OneEuroFilter(100, cutoffHz, beta, rateCutoffHz)
    const given = Array.from({ length: 500 }, (_, nth) => ({
      // Uneven steps on purpose; their filter takes the time of each value too.
      timeS: 1 + nth / 100 + 0.002 * Math.sin(nth),
      value: 40 * Math.tanh((nth - 200) / 40) + Math.sin(nth * 1.7),
    }))
    const ours = oneBlock(oneEuro, { unit: 'deg', cutoffHz, beta, rateCutoffHz }).feed(given)
    for (const [nth, { timeS, value }] of given.entries())
      expect(ours[nth]!.value).toBeCloseTo(theirs.filter(value, timeS), 10)
  })

  const GIVEN = [
    0, 0.1, -0.1, 0.05, 0, 2, 5, 9, 14, 20, 25, 29, 32, 34, 35, 35.1, 34.9, 35, 35.05, 34.95,
  ]

  /** Vectors computed apart from this project from the paper's formulas. */
  test('vectors: 100 Hz with beta 0.05, 50 Hz with beta 0.1', () => {
    const quick = feed(oneEuro, { cutoffHz: 1, beta: 0.05, rateCutoffHz: 1 }, GIVEN, 100)
    expect(quick[1]).toBeCloseTo(0.006075866, 8)
    expect(quick[7]).toBeCloseTo(2.944000911, 8)
    expect(quick.at(-1)).toBeCloseTo(34.941328527, 8)
    const half = feed(oneEuro, { cutoffHz: 1.5, beta: 0.1, rateCutoffHz: 1 }, GIVEN, 50)
    expect(half[1]).toBeCloseTo(0.016353677, 8)
    expect(half[10]).toBeCloseTo(22.630187923, 8)
    expect(half.at(-1)).toBeCloseTo(34.977305382, 8)
  })
})

/** P. R. Kalata, IEEE Trans. AES-20(2), 1984, 174-182; formulas from memory, 0.1 and 1 have exact answers. */
describe('alpha-beta', () => {
  test.each([
    [0.01, 0.131850991273, 0.009317451415],
    [0.1, 0.36, 0.08],
    [0.5, 0.628373457205, 0.304805898399],
    [1, 0.75, 0.5],
    [2, 0.85410196625, 0.7639320225],
    [10, 0.978713763748, 1.458980337503],
  ])('gains of tracking index %d', (index, alpha, beta) => {
    expect(alphaOf(index)).toBeCloseTo(alpha, 10)
    expect(betaOf(alphaOf(index))).toBeCloseTo(beta, 10)
    expect(betaOf(alpha) ** 2 / (1 - alpha)).toBeCloseTo(index ** 2, 6)
  })

  test('a vector computed apart from this project: alpha 0.5, beta 0.1', () => {
    const track = { value: 0, rate: 0 }
    const expected = [
      [1, 0.5, 0.1],
      [2, 1.3, 0.24],
      [3, 2.27, 0.386],
      [4, 3.328, 0.5204],
      [5, 4.4242, 0.63556],
      [5, 5.02988, 0.629584],
      [5, 5.329732, 0.5636376],
      [5, 5.4466848, 0.47430064],
    ] as const
    for (const [reading, value, rate] of expected) {
      stepTrack(track, reading, 1, 0.5, 0.1)
      expect(track.value).toBeCloseTo(value, 10)
      expect(track.rate).toBeCloseTo(rate, 10)
    }
  })

  test('the block uses them at its rate: index 1 takes three quarters of a surprise', () => {
    const out = oneBlock(alphaBeta, { unit: 'deg', trackingIndex: 1, rateHz: 100 }).feed([
      { timeS: 0, value: 0 },
      { timeS: 0.01, value: 1 },
    ])
    expect(out[1]!.all['value']).toBeCloseTo(0.75, 9)
    expect(out[1]!.all['rate']).toBeCloseTo(0.5 / 0.01, 6)
  })
})

/** Computed apart from this project; ends repeated, here late by half the window. */
describe('median', () => {
  const given = [10, 10.1, 9.9, 10, 50, 10.1, 10, 9.8, 10.2, -30, 10, 10.1]
  test.each([
    [3, [10, 10, 10, 10, 10.1, 10.1, 10, 10, 9.8, 10, 10, 10.1]],
    [5, [10, 10, 10, 10.1, 10, 10, 10.1, 10, 10, 10, 10.1, 10.1]],
  ])('window %d', (window, expected) => {
    const late = (window - 1) / 2
    const out = feed(median, { window }, given, 200)
    expect(out.slice(late)).toEqual(expected.slice(0, -late))
  })
})
