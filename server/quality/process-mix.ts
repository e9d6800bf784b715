import {
  type BlockRows,
  type ChartedBends,
  type ChartedColumns,
  countOf,
  eachBlock,
  PROCESS,
  type ProcessField,
} from './charted-bends.ts'
import type { GapBefore } from './individuals-chart.ts'
import { groupSteps } from './text-groups.ts'

/** Of each field so many are named. */
const MIXED_NAMED_MAX = 20

/** A field of which there is more than one, with how many bends each has; the one bent with last comes first. */
interface MixedField {
  readonly field: ProcessField
  readonly count: number
  readonly names: { readonly name: string; readonly n: number }[]
}

/** Of which fields the bends have more than one: then they are of more than one process. */
export function* mixSteps(blocks: readonly BlockRows[], { texts }: ChartedBends) {
  const mixed: MixedField[] = []
  for (const field of PROCESS) {
    const { numbers, countOf } = yield* groupSteps(blocks, field, texts[field].length)
    const names = numbers
      .slice(0, MIXED_NAMED_MAX)
      .map((number) => ({ name: texts[field][number] ?? '', n: countOf(number) }))
    if (numbers.length > 1) mixed.push({ field, count: numbers.length, names })
  }
  return mixed
}

interface Charted {
  readonly columns: ChartedColumns
  readonly row: number
}

/** Which fields differ between two bends. */
export const changesBetween = (before: Charted, next: Charted): ProcessField[] =>
  PROCESS.filter(
    (field) => before.columns.named[field][before.row] !== next.columns.named[field][next.row],
  )

/** Before which places the process was changed: no moving range is made across. */
export function* changeSteps(blocks: readonly BlockRows[]): Generator<void, GapBefore> {
  const changed = new Uint8Array(countOf(blocks))
  let [place, station, die, lot] = [0, -1, -1, -1]
  yield* eachBlock(blocks, ({ columns: { named }, rows }) => {
    for (let i = 0; i < rows.length; i += 1) {
      const row = rows[i] ?? 0
      const [atStation, atDie, ofLot] = [
        named.station[row] ?? 0,
        named.die[row] ?? 0,
        named.lot[row] ?? 0,
      ]
      if (place > 0 && (atStation !== station || atDie !== die || ofLot !== lot)) changed[place] = 1
      station = atStation
      die = atDie
      lot = ofLot
      place += 1
    }
  })
  return { has: (at) => changed[at] === 1 }
}
