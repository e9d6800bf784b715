import { describe, expect, it } from 'vitest'
import { bendChartSteps, POINTS_MAX } from '../../../../server/quality/bend-charts.ts'
import { inOneGo } from '../../../../server/quality/in-one-go.ts'
import { LOTS_MAX } from '../../../../server/quality/lot-springback.ts'
import { type ChartedBend, chartedOf } from '../../../support/charted.ts'

const bendCharts = (bends: readonly ChartedBend[]) => inOneGo(bendChartSteps(chartedOf(bends)))

function bendOf(id: number, change: Partial<ChartedBend> = {}): ChartedBend {
  return {
    ...{ id, startedMs: id * 20_000, lot: 'L-1', die: 'A', station: 'S' },
    ...{ wantedDeg: 90, toleranceDeg: 0.5 },
    ...{ offDeg: ((id * 7) % 11) / 100, springbackDeg: 3, isVoid: false },
    ...{ stopDeg: 0.1, tubeDeg: -0.2, aimDeg: 0.1, expandedDeg: 0.08 },
    ...change,
  }
}
const run = (count: number, changeOf: (id: number) => Partial<ChartedBend> = () => ({})) =>
  Array.from({ length: count }, (_, i) => bendOf(i + 1, changeOf(i + 1)))

describe('charts of a selection', () => {
  it('keep void bends and those without an angle apart from every figure', () => {
    const clean = bendCharts(run(20))
    const odd = [
      bendOf(101, { isVoid: true, offDeg: 9 }),
      bendOf(102, { isVoid: true, offDeg: Number.NaN }),
      bendOf(103, { offDeg: Number.NaN, springbackDeg: 80 }),
    ]
    const found = bendCharts([...run(20), ...odd])
    expect(found.error).toEqual(clean.error)
    expect(found.lots).toEqual(clean.lots)
    expect(found.causes).toEqual(clean.causes)
    expect([found.total, found.unmeasured, found.voided.count]).toEqual([23, 1, 2])
    expect(found.voided.points.map(({ id }) => id)).toEqual([101])
  })

  it('count all that break a rule, and name the first 200', () => {
    // Calm neighbours, so that a hundredth is far: of 300 on either side all but the first six complete a row.
    const { error } = bendCharts(run(600, (id) => ({ offDeg: id <= 300 ? -0.2 : 0.2 })))
    const side = error?.rules.find(({ rule }) => rule.name === 'side')
    expect(side?.count).toBe(588)
    expect(side?.bends).toEqual(Array.from({ length: 200 }, (_, i) => i + 7))
  })

  it('are of no stable process where nothing but a step is too large', () => {
    // Up and down by turns within the limits; one step is from one edge to the other.
    const { error } = bendCharts(
      run(60, (id) => ({
        offDeg: (id % 2 === 0 ? 1 : -1) * (id === 30 || id === 31 ? 0.21 : 0.05),
      })),
    )
    expect(error?.rules).toEqual([])
    expect(error?.rangesBeyond).toEqual({ count: 1, bends: [31] })
    expect(error?.isStable).toBe(false)
  })

  it('of nothing, and of void bends only, have no chart', () => {
    expect(bendCharts([]).error).toBeNull()
    expect(bendCharts(run(3, () => ({ isVoid: true }))).error).toBeNull()
    expect(bendCharts([]).causes.map(({ part }) => part)).toEqual([null, null, null])
  })

  it('of one bend have no limits and no capability, and say why', () => {
    const { error } = bendCharts(run(1))
    expect(error).toMatchObject({ n: 1, lowerDeg: null, isStable: null })
    expect(error?.capability.indices).toEqual([])
    expect(error?.capability.why).toContain('two measured bends')
  })

  it('refuse capability where tolerances differ, and where there is no spread', () => {
    const mixed = bendCharts(run(20, (id) => ({ toleranceDeg: id === 7 ? 1 : 0.5 })))
    expect(mixed.error?.capability.why).toContain('±0.5° to ±1°')
    expect(mixed.error?.capability.indices).toEqual([])
    const same = bendCharts(run(20, () => ({ offDeg: 0.1 })))
    expect(same.error?.capability.why).toContain('without spread')
  })

  it('name the estimator, and have the interval around each index', () => {
    const { error } = bendCharts(run(40))
    expect(error?.capability.indices.map(({ name, estimator }) => [name, estimator])).toEqual([
      ['cp', 'moving-ranges'],
      ['cpk', 'moving-ranges'],
      ['pp', 'all-values'],
      ['ppk', 'all-values'],
    ])
    for (const { low, value, high } of error?.capability.indices ?? []) {
      expect(low).toBeLessThan(value)
      expect(value).toBeLessThan(high)
    }
  })

  it('tell which bend breaks which rule', () => {
    const { error } = bendCharts(run(40, (id) => (id === 30 ? { offDeg: 5 } : {})))
    expect(error?.isStable).toBe(false)
    expect(error?.rules).toContainEqual({
      rule: { name: 'beyond', sigmas: 3 },
      count: 1,
      bends: [30],
    })
    expect(error?.rangesBeyond).toEqual({ count: 2, bends: [30, 31] })
    expect(error?.points.filter(({ id }) => id === 30)[0]?.broken).toEqual(['beyond', 'range'])
  })

  it('draw a long run by few points, with its extremes and the bends that break a rule', () => {
    const { error } = bendCharts(run(30_000, (id) => (id === 12_345 ? { offDeg: 5 } : {})))
    expect(error?.n).toBe(30_000)
    expect(error?.points.length).toBeLessThanOrEqual(POINTS_MAX)
    const ids = error?.points.map(({ id }) => id) ?? []
    expect(ids).toEqual([...ids].sort((a, b) => a - b))
    expect(ids).toEqual(expect.arrayContaining([1, 12_345, 12_346, 30_000]))
  })

  it('have springback by lot, the lot bent last first, and say how many were left out', () => {
    const two = bendCharts(run(5, (id) => ({ lot: id % 2 ? 'A' : 'B', springbackDeg: id })))
    expect(two.lots).toEqual([
      { lot: 'A', n: 3, meanDeg: 3, sdDeg: 2, wanted: { leastDeg: 90, mostDeg: 90 } },
      { lot: 'B', n: 2, meanDeg: 3, sdDeg: Math.SQRT2, wanted: { leastDeg: 90, mostDeg: 90 } },
    ])
    const angles = bendCharts(run(4, (id) => ({ lot: id > 2 ? 'B' : 'A', wantedDeg: 30 * id })))
    expect(angles.lots).toMatchObject([
      { lot: 'B', wanted: { leastDeg: 90, mostDeg: 120 } },
      { lot: 'A', wanted: { leastDeg: 30, mostDeg: 60 } },
    ])
    const none = bendCharts(run(2, () => ({ springbackDeg: Number.NaN })))
    expect(none.lots).toMatchObject([{ n: 0, wanted: null }])
    const many = bendCharts(run(LOTS_MAX + 3, (id) => ({ lot: `L-${id}` })))
    expect([many.lots.length, many.lotsLeftOut]).toEqual([LOTS_MAX, 3])
  })

  it('share the error by cause over the bends whose causes are known', () => {
    const unknown = { stopDeg: Number.NaN, tubeDeg: Number.NaN, aimDeg: Number.NaN }
    const { causes, readout } = bendCharts(
      run(4, (id) => (id === 1 ? { ...unknown, expandedDeg: Number.NaN } : {})),
    )
    expect(causes.map(({ cause, n }) => [cause, n])).toEqual([
      ['stop', 3],
      ['tube', 3],
      ['aim', 3],
    ])
    expect(causes.map(({ part }) => part)).toEqual([0.25, 0.5, 0.25].map((v) => expect.closeTo(v)))
    expect(readout).toEqual({ n: 3, meanExpandedDeg: expect.closeTo(0.08) })
  })

  it('of two lots, dies or benders say so, most recent first, and make no range across a change', () => {
    const { error } = bendCharts(
      run(20, (id) => ({ lot: id > 12 ? 'B' : 'A', die: id === 20 ? 'Y' : 'X', offDeg: id })),
    )
    expect(error?.mixed).toEqual([
      ...[
        {
          field: 'die',
          count: 2,
          names: [
            { name: 'Y', n: 1 },
            { name: 'X', n: 19 },
          ],
        },
      ],
      ...[
        {
          field: 'lot',
          count: 2,
          names: [
            { name: 'B', n: 8 },
            { name: 'A', n: 12 },
          ],
        },
      ],
    ])
    const changed = error?.points.filter(({ changed }) => changed.length > 0)
    expect(changed?.map(({ id, changed }) => [id, changed])).toEqual([
      [13, ['lot']],
      [20, ['die']],
    ])
    const without = error?.points.filter(({ rangeDeg }) => rangeDeg === null)
    expect(without?.map(({ id }) => id)).toEqual([1, 13, 20])
  })

  it('of bends that do not vary claim no stability: their limits have no width', () => {
    const { error } = bendCharts(run(40, () => ({ offDeg: 0.25 })))
    expect(error).toMatchObject({ n: 40, sdDeg: 0, lowerDeg: 0.25, upperDeg: 0.25, isStable: null })
    expect(error?.capability.why).toMatch(/without spread/)
  })

  it('of two processes judge by the steps within each, and claim neither stability nor Cp, Cpk', () => {
    const twoLots = run(40, (id) => ({
      ...{ lot: id > 20 ? 'B' : 'A', toleranceDeg: 5 },
      offDeg: (id % 2 === 0 ? 0.1 : 0) + (id > 20 ? 2 : 0),
    }))
    const { error } = bendCharts(twoLots)
    expect(error?.meanRangeDeg).toBeCloseTo(0.1, 12)
    expect(error?.isStable).toBeNull()
    expect(error?.capability.why).toBeNull()
    expect(error?.capability.indices.map(({ name }) => name)).toEqual(['pp', 'ppk'])
    const calm = bendCharts(twoLots.map((bend) => ({ ...bend, offDeg: 0.1 * (bend.id % 3) })))
    expect(calm.error?.isStable).toBeNull()
  })

  it('of two benders by turns have no limits: no two neighbours are of one process', () => {
    const { error } = bendCharts(run(20, (id) => ({ station: id % 2 ? 'East' : 'West' })))
    expect(error).toMatchObject({ lowerDeg: null, upperRangeDeg: null, rules: [], isStable: null })
    expect(error?.sdDeg).toBeGreaterThan(0)
  })
})
