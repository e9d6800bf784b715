import fc from 'fast-check'
import { expect, it } from 'vitest'
import { bendChartSteps } from '../../../../server/quality/bend-charts.ts'
import { inOneGo } from '../../../../server/quality/in-one-go.ts'
import { ISO_7870_2, runFindings } from '../../../../server/quality/run-rules.ts'
import { type ChartedBend, chartedOf } from '../../../support/charted.ts'

/** As single precision has it, in which causes are kept. */
const single = fc.integer({ min: -3000, max: 3000 }).map((n) => Math.fround(n / 1000))
const exact = fc.integer({ min: -200_000, max: 200_000 }).map((n) => n / 100_000)
const orNone = <T>(values: fc.Arbitrary<T>) => fc.option(values, { nil: Number.NaN, freq: 8 })

const bend = fc
  .record({
    offDeg: orNone(exact),
    springbackDeg: orNone(exact),
    toleranceDeg: fc.constantFrom(0.5, 0.5, 0.5, 1),
    wantedDeg: fc.constantFrom(45, 90),
    causes: orNone(fc.record({ stopDeg: single, tubeDeg: single, aimDeg: single })),
    expandedDeg: orNone(single),
    lot: fc.constantFrom('A', 'A', 'A', 'B', 'C'),
    die: fc.constantFrom('X', 'X', 'X', 'X', 'Y'),
    station: fc.constantFrom('East', 'East', 'East', 'East', 'West'),
    isVoid: fc.constantFrom(false, false, false, true),
    skipped: fc.constantFrom(1, 1, 1, 5),
  })
  .map(({ causes, ...more }) => {
    const none = { stopDeg: Number.NaN, tubeDeg: Number.NaN, aimDeg: Number.NaN }
    return { ...more, ...(typeof causes === 'number' ? none : causes) }
  })

const selection = (most: number) =>
  fc.array(bend, { maxLength: most, size: 'max' }).map((bends) => {
    let id = 0
    return bends.map(({ skipped, ...more }): ChartedBend => {
      id += skipped
      return { ...more, id, startedMs: id * 20_000 }
    })
  })

const mean = (values: readonly number[]) =>
  values.length === 0 ? null : values.reduce((sum, value) => sum + value, 0) / values.length

/** As any handbook writes it. */
function sd(values: readonly number[]) {
  const middle = mean(values)
  if (middle === null || values.length < 2) return null
  const squares = values.reduce((sum, value) => sum + (value - middle) ** 2, 0)
  return Math.sqrt(squares / (values.length - 1))
}

const near = (value: number | null | undefined) =>
  value === null || value === undefined ? (value ?? null) : expect.closeTo(value, 9)
const spread = (values: readonly number[]) => ({
  ...{ n: values.length, meanDeg: near(mean(values)), sdDeg: near(sd(values)) },
})
const isKnown = (value: number) => !Number.isNaN(value)

/** The same charts of a list of objects, one plain statement after the other. */
function expectedOf(bends: readonly ChartedBend[]) {
  const standing = bends.filter(({ isVoid }) => !isVoid)
  const measured = standing.filter(({ offDeg }) => isKnown(offDeg))
  const off = measured.map(({ offDeg }) => offDeg)
  const processOf = ({ lot, die, station }: ChartedBend) => `${station} ${die} ${lot}`
  const ranges = measured.flatMap((own, i) => {
    const before = measured[i - 1]
    if (!before || processOf(before) !== processOf(own)) return []
    return [{ id: own.id, deg: Math.abs(own.offDeg - before.offDeg) }]
  })
  const meanRange = mean(ranges.map(({ deg }) => deg))
  const lots = [...new Set(measured.map(({ lot }) => lot).reverse())].map((lot) => {
    const own = measured.filter((bend) => bend.lot === lot && isKnown(bend.springbackDeg))
    const wanted = own.map(({ wantedDeg }) => Math.fround(wantedDeg)).sort((a, b) => a - b)
    return {
      lot,
      ...spread(own.map(({ springbackDeg }) => springbackDeg)),
      wanted: own.length > 0 ? { leastDeg: wanted[0], mostDeg: wanted.at(-1) } : null,
    }
  })
  const sizes = (['stopDeg', 'tubeDeg', 'aimDeg'] as const).map((field) => {
    const values = measured.map((own) => own[field]).filter(isKnown)
    return { spread: spread(values), size: values.reduce((sum, deg) => sum + Math.abs(deg), 0) }
  })
  const all = sizes.reduce((sum, { size }) => sum + size, 0)
  return { standing, measured, off, ranges, meanRange, lots, sizes, all }
}

it('charts over columns are those of a plain list of bends', () => {
  fc.assert(
    fc.property(selection(60), fc.integer({ min: 1, max: 30 }), (bends, blockBends) => {
      const found = inOneGo(bendChartSteps(chartedOf(bends, blockBends)))
      const { standing, measured, off, ranges, meanRange, lots, sizes, all } = expectedOf(bends)
      expect(found.total).toBe(bends.length)
      expect(found.unmeasured).toBe(standing.length - measured.length)
      expect(found.voided.count).toBe(bends.length - standing.length)
      expect(found.lots).toEqual(lots)
      expect(found.causes.map(({ part }) => part)).toEqual(
        sizes.map(({ size }) => (all > 0 ? near(size / all) : null)),
      )
      expect(found.causes).toMatchObject(sizes.map(({ spread: own }) => own))
      const { error } = found
      if (measured.length === 0) {
        expect(error).toBeNull()
        return
      }
      expect(error).toMatchObject({ ...spread(off), meanRangeDeg: near(meanRange) })
      expect(error?.points.map(({ id, offDeg }) => [id, offDeg])).toEqual(
        measured.map(({ id, offDeg }) => [id, offDeg]),
      )
      expect(
        error?.points.flatMap(({ id, rangeDeg }) =>
          rangeDeg === null ? [] : [{ id, deg: rangeDeg }],
        ),
      ).toEqual(ranges)
      const limit = 3.267 * (error?.meanRangeDeg ?? 0)
      expect(error?.rangesBeyond.bends).toEqual(
        ranges.filter(({ deg }) => deg > limit).map(({ id }) => id),
      )
      const findings =
        meanRange === null
          ? []
          : runFindings(off, error?.meanDeg ?? 0, error?.sigmaWithinDeg ?? 0, ISO_7870_2)
      expect(error?.rules.map(({ rule, bends: named }) => [rule, named])).toEqual(
        findings.map(({ rule, places }) => [rule, places.map((place) => measured[place]?.id)]),
      )
    }),
    { numRuns: 200 },
  )
})
