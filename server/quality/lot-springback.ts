import { type BlockRows, type ChartedBends, eachBlock } from './charted-bends.ts'
import { spreadSteps } from './spread.ts'
import { groupSteps } from './text-groups.ts'

/** Of so many lots the springback is told. */
export const LOTS_MAX = 200

/**
 * Springback of each lot, and the angles it was bent to: springback grows with the angle. The lot met last first.
 *
 * @param room As many values as there are rows, a stretch a lot; what stood in it is lost.
 */
export function* lotSpringbackSteps(
  blocks: readonly BlockRows[],
  { texts }: ChartedBends,
  room: Float64Array,
) {
  const { numbers, countOf } = yield* groupSteps(blocks, 'lot', texts.lot.length)
  let free = room
  const shown = numbers.slice(0, LOTS_MAX).map((number) => {
    const values = free.subarray(0, countOf(number))
    free = free.subarray(values.length)
    return { number, values, found: 0, leastWantedDeg: Infinity, mostWantedDeg: -Infinity }
  })
  const byNumber = new Map(shown.map((lot) => [lot.number, lot]))
  yield* eachBlock(blocks, ({ columns, rows }) => {
    const { springbackDeg, wantedDeg, named } = columns
    let own = byNumber.get(-1)
    for (let i = 0; i < rows.length; i += 1) {
      const row = rows[i] ?? 0
      const value = springbackDeg[row] ?? Number.NaN
      const number = named.lot[row] ?? 0
      if (own?.number !== number) own = byNumber.get(number)
      if (!own || Number.isNaN(value)) continue
      own.values[own.found++] = value
      const wanted = wantedDeg[row] ?? Number.NaN
      if (wanted < own.leastWantedDeg) own.leastWantedDeg = wanted
      if (wanted > own.mostWantedDeg) own.mostWantedDeg = wanted
    }
  })
  const lots = []
  for (const { number, values, found, leastWantedDeg, mostWantedDeg } of shown) {
    // A bend that was put into this lot meanwhile has no room.
    const spread = yield* spreadSteps(values.subarray(0, Math.min(found, values.length)))
    const wanted =
      leastWantedDeg <= mostWantedDeg ? { leastDeg: leastWantedDeg, mostDeg: mostWantedDeg } : null
    lots.push({ lot: texts.lot[number] ?? '', ...spread, wanted })
  }
  return { lots, lotsLeftOut: numbers.length - shown.length }
}
