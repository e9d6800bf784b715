import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { alphaBeta } from '../../../../server/blocks/alpha-beta.ts'
import { average } from '../../../../server/blocks/average.ts'
import { compare } from '../../../../server/blocks/compare.ts'
import { counter } from '../../../../server/blocks/counter.ts'
import { formula } from '../../../../server/blocks/formula.ts'
import { lowPass } from '../../../../server/blocks/low-pass.ts'
import { median } from '../../../../server/blocks/median.ts'
import { notch } from '../../../../server/blocks/notch.ts'
import { oneEuro } from '../../../../server/blocks/one-euro.ts'
import { rateLimiter } from '../../../../server/blocks/rate-limiter.ts'
import { switchOver } from '../../../../server/blocks/switch-over.ts'
import { threshold } from '../../../../server/blocks/threshold.ts'
import { timer } from '../../../../server/blocks/timer.ts'
import type { Block } from '../../../../server/chain/block.ts'
import { BAD, NONE } from '../../../../server/chain/column.ts'
import { readSnapshot, writeSnapshot } from '../../../../server/chain/snapshot.ts'
import { flawed, type OutRow, oneBlock, type Row } from './one-block.ts'

const blocks: readonly [string, Block, Record<string, unknown>][] = [
  ['low-pass', lowPass, {}],
  ['notch', notch, {}],
  ['median', median, { window: 5 }],
  ['one-euro', oneEuro, {}],
  ['alpha-beta', alphaBeta, {}],
  ['rate-limiter', rateLimiter, { riseMax: 50, fallMax: 20 }],
  ['average', average, {}],
  ['compare', compare, { tolerance: 0.5, lastsS: 0.01 }],
  ['switch-over', switchOver, { backAfterS: 0.02 }],
  ['threshold', threshold, { limit: 0.2, hysteresis: 0.3 }],
  ['timer, on-delay', timer, { mode: 'on-delay', timeS: 0.02 }],
  ['timer, off-delay', timer, { mode: 'off-delay', timeS: 0.02 }],
  ['timer, pulse', timer, { mode: 'pulse', timeS: 0.02 }],
  ['counter', counter, { preset: 3 }],
  ['formula', formula, { expression: 'a > b ? sqrt(a/deg)*deg : (a + b) / 2' }],
]

/** Any sort of number a line may bring, some of them absurd. */
const value = fc.oneof(
  { weight: 8, arbitrary: fc.double({ min: -3, max: 3, noNaN: true }) },
  { weight: 4, arbitrary: fc.constantFrom(0, 1) },
  {
    weight: 1,
    arbitrary: fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, -1e308, 1e200, -0, 5e-324),
  },
)
const quality = fc.constantFrom(0, 0, 0, 0, 1, 2, NONE)
/** Mostly 5 ms apart; sometimes lost lines, a long silence, a time twice, a time that goes back. */
const stepS = fc.constantFrom(0.005, 0.005, 0.005, 0.0049, 0.0051, 0.015, 5, 0, 1e-12, -1)
const cell = fc.tuple(value, quality)
const drafts = fc.array(fc.tuple(stepS, cell, cell), { minLength: 1, maxLength: 80 })
type Draft = readonly (readonly [number, readonly [number, number], readonly [number, number]])[]

function rowsOf(block: Block, draft: Draft): Row[] {
  const names = Object.keys(block.inputs)
  let timeS = 10
  return draft.map(([step, first, second]) => {
    timeS += step
    const cells = [first, second].map(([value, quality]) => flawed(value, quality))
    return {
      timeS,
      ...Object.fromEntries(names.slice(0, 2).map((name, nth) => [name, cells[nth]])),
    }
  })
}

/** What a reader of the outputs may look at. */
const seen = (rows: readonly OutRow[]) =>
  rows.map(({ all, qualities }) =>
    Object.entries(all).map(([name, out]) =>
      qualities[name] === NONE ? NONE : [name, out, qualities[name]],
    ),
  )

/** By design a bad row goes over to the second sensor, or lets the time of a timer run on. */
const ACTS_ON_BAD = new Set(['switch-over', 'timer'])
const unmoved = blocks.filter(([, { kind }]) => !ACTS_ON_BAD.has(kind))
const sensorsIdle = blocks.filter(([, { kind }]) => kind !== 'switch-over')

describe.each(blocks)('%s', (_, block, parameters) => {
  const begin = () => oneBlock(block, parameters)

  test('one row at a time gives what one batch gives (seed 31)', () => {
    fc.assert(
      fc.property(drafts, (draft) => {
        const rows = rowsOf(block, draft)
        const single = begin()
        expect(seen(rows.flatMap((row) => single.feed([row])))).toEqual(seen(begin().feed(rows)))
      }),
      { seed: 31 },
    )
  })

  test('a snapshot at any row goes on bit for bit (seed 32)', () => {
    fc.assert(
      fc.property(drafts, fc.nat(80), (draft, place) => {
        const rows = rowsOf(block, draft)
        const before = begin()
        before.feed(rows.slice(0, place))
        const text = writeSnapshot('r1', new Map([['x', before.memory]]))
        const after = begin()
        readSnapshot(text, 'r1', new Map([['x', after.memory]]))
        const through = begin().feed(rows)
        expect(seen(after.feed(rows.slice(place)))).toEqual(seen(through.slice(place)))
      }),
      { seed: 32 },
    )
  })

  test('gives a finite number or says bad or nothing, whatever comes in (seed 33)', () => {
    fc.assert(
      fc.property(drafts, (draft) => {
        for (const { all, qualities } of begin().feed(rowsOf(block, draft)))
          for (const [name, quality] of Object.entries(qualities))
            if (quality < BAD) expect(all[name]).toSatisfy(Number.isFinite)
      }),
      { seed: 33 },
    )
  })

  test('its memory does not grow', () => {
    const one = begin()
    const sizeAfter = (rows: number) => {
      for (let nth = 0; nth < rows; nth++)
        one.feed(rowsOf(block, [[0.005, [Math.sin(nth), 0], [Math.cos(nth), 0]]]))
      return JSON.stringify(one.memory, (_, part) => (typeof part === 'number' ? 0 : part)).length
    }
    // A time that is null while none runs may be a number now: one word of four letters.
    const early = sizeAfter(300)
    expect(Math.abs(sizeAfter(3000) - early)).toBeLessThanOrEqual(8)
  })
})

describe.each(unmoved)('%s', (_, block, parameters) => {
  const begin = () => oneBlock(block, parameters)

  test('bad values leave no mark: without them the rows after are the same (seed 34)', () => {
    fc.assert(
      fc.property(drafts, cell, (draft, [odd]) => {
        // Between two rows of the same time the bad one costs no time either.
        const rows = rowsOf(block, draft)
        const bad = Object.fromEntries(
          Object.keys(block.inputs)
            .slice(0, 2)
            .map((name) => [name, flawed(odd, BAD)]),
        )
        const spoilt = rows.flatMap((row) => [row, { ...bad, timeS: row.timeS! } as Row])
        const out = begin()
          .feed(spoilt)
          .filter((_, nth) => nth % 2 === 0)
        expect(seen(out)).toEqual(seen(begin().feed(rows)))
      }),
      { seed: 34 },
    )
  })
})

describe.each(sensorsIdle)('%s', (_, block, parameters) => {
  const begin = () => oneBlock(block, parameters)

  test('rows without a value leave no mark (seed 35)', () => {
    fc.assert(
      fc.property(drafts, (draft) => {
        const rows = rowsOf(block, draft)
        const thinned = rows.flatMap((row) => [row, { timeS: row.timeS! }])
        const out = begin()
          .feed(thinned)
          .filter((_, nth) => nth % 2 === 0)
        expect(seen(out)).toEqual(seen(begin().feed(rows)))
      }),
      { seed: 35 },
    )
  })
})
