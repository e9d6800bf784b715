import type { ChartedBends, ChartedBlock } from '../../server/quality/charted-bends.ts'

/** A bend of a selection by itself. Degrees; NaN where it has none. */
export interface ChartedBend
  extends Readonly<Record<'stopDeg' | 'tubeDeg' | 'aimDeg' | 'expandedDeg', number>>,
    Readonly<Record<'lot' | 'die' | 'station', string>> {
  readonly id: number
  readonly startedMs: number
  readonly offDeg: number
  readonly wantedDeg: number
  readonly toleranceDeg: number
  readonly springbackDeg: number
  readonly isVoid: boolean
}

const TEXTS = ['lot', 'die', 'station'] as const

function blockOf(bends: readonly ChartedBend[], texts: ChartedBends['texts']): ChartedBlock {
  const first = bends[0]?.id ?? 1
  const size = (bends.at(-1)?.id ?? 0) - first + 1
  const rowOf = ({ id }: ChartedBend) => id - first
  const fill = <C extends Float64Array | Float32Array | Uint32Array>(
    column: C,
    figureOf: (bend: ChartedBend) => number,
  ): C => {
    for (const bend of bends) column[rowOf(bend)] = figureOf(bend)
    return column
  }
  const doubles = (field: 'startedMs' | 'offDeg' | 'toleranceDeg' | 'springbackDeg') =>
    fill(new Float64Array(size), (bend) => bend[field])
  const singles = (field: 'wantedDeg' | 'stopDeg' | 'tubeDeg' | 'aimDeg' | 'expandedDeg') =>
    fill(new Float32Array(size), (bend) => bend[field])
  const numbers = (field: (typeof TEXTS)[number]) =>
    fill(new Uint32Array(size), (bend) => texts[field].indexOf(bend[field]))
  return {
    columns: {
      ...{ first, startedMs: doubles('startedMs'), offDeg: doubles('offDeg') },
      ...{ toleranceDeg: doubles('toleranceDeg'), springbackDeg: doubles('springbackDeg') },
      ...{ wantedDeg: singles('wantedDeg'), expandedDeg: singles('expandedDeg') },
      ...{ stopDeg: singles('stopDeg'), tubeDeg: singles('tubeDeg'), aimDeg: singles('aimDeg') },
      named: { lot: numbers('lot'), die: numbers('die'), station: numbers('station') },
    },
    rows: Uint16Array.from(bends.filter(({ isVoid }) => !isVoid).map(rowOf)),
    voided: Uint16Array.from(bends.filter(({ isVoid }) => isVoid).map(rowOf)),
  }
}

/** The same bends, in rising order of their numbers, as columns in blocks of so many. */
export function chartedOf(bends: readonly ChartedBend[], blockBends = 1000): ChartedBends {
  const [lot, die, station] = TEXTS.map((field) => [...new Set(bends.map((bend) => bend[field]))])
  const texts = { lot: lot ?? [], die: die ?? [], station: station ?? [] }
  const blocks = Array.from({ length: Math.ceil(bends.length / blockBends) }, (_, i) =>
    blockOf(bends.slice(i * blockBends, (i + 1) * blockBends), texts),
  )
  return { blocks, texts }
}
