import { type BlockRows, type ChartedBends, eachBlock } from './charted-bends.ts'
import { spreadSteps } from './spread.ts'
import { groupSteps } from './text-groups.ts'

/** Of so many lots the springback is told. */
export const LOTS_MAX = 200

/** Springback of each lot, the lot met last first. */
export function* lotSpringbackSteps(blocks: readonly BlockRows[], { texts }: ChartedBends) {
  const { numbers, countOf } = yield* groupSteps(blocks, 'lot', texts.lot.length)
  const shown = numbers.slice(0, LOTS_MAX).map((number) => ({
    ...{ number, found: 0, values: new Float64Array(countOf(number)) },
  }))
  const byNumber = new Map(shown.map((lot) => [lot.number, lot]))
  yield* eachBlock(blocks, ({ columns, rows }) => {
    const { springbackDeg, named } = columns
    let own = byNumber.get(-1)
    for (let i = 0; i < rows.length; i += 1) {
      const row = rows[i] ?? 0
      const value = springbackDeg[row] ?? Number.NaN
      const number = named.lot[row] ?? 0
      if (own?.number !== number) own = byNumber.get(number)
      if (own && !Number.isNaN(value)) own.values[own.found++] = value
    }
  })
  const lots = []
  for (const { number, values, found } of shown) {
    // A bend that was put into this lot meanwhile has no room.
    const spread = yield* spreadSteps(values.subarray(0, Math.min(found, values.length)))
    lots.push({ lot: texts.lot[number] ?? '', ...spread })
  }
  return { lots, lotsLeftOut: numbers.length - shown.length }
}
