import { type BlockRows, valuesSteps } from './charted-bends.ts'
import { spreadSteps } from './spread.ts'

const CAUSES = ['stop', 'tube', 'aim'] as const

function sizeOf(values: Float64Array): number {
  let size = 0
  for (let i = 0; i < values.length; i += 1) size += Math.abs(values[i] ?? 0)
  return size
}

/**
 * Each cause's mean, scatter and part of all that was off, over bends whose causes are known: of a bend all three are,
 * or none.
 *
 * @param room As many values as there are rows; what stood in it is lost.
 */
export function* errorCauseSteps(blocks: readonly BlockRows[], room: Float64Array) {
  const known = []
  for (const cause of CAUSES) {
    const values = yield* valuesSteps(blocks, `${cause}Deg`, room)
    known.push({ size: sizeOf(values), cause, ...(yield* spreadSteps(values)) })
  }
  const all = known.reduce((sum, { size }) => sum + size, 0)
  const readout = yield* spreadSteps(yield* valuesSteps(blocks, 'expandedDeg', room))
  return {
    causes: known.map(({ size, ...spread }) => ({ ...spread, part: all > 0 ? size / all : null })),
    readout: { n: readout.n, meanExpandedDeg: readout.meanDeg },
  }
}
