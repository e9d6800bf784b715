import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { BAD } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { unitFrom } from '../chain/unit.ts'
import { filteredUnit, gapParameter, STEP_MIN_S, trueQuality } from './filter-input.ts'

const cutoff = (description: string) =>
  Type.Number({ exclusiveMinimum: 0, maximum: 10_000, default: 1, description })

const parameters = strict({
  unit: filteredUnit,
  cutoffHz: cutoff('Cut-off at rest, Hz: lower is steadier.'),
  beta: Type.Number({
    minimum: 0,
    maximum: 10_000,
    default: 0.1,
    description: 'Hz by which the cut-off rises for each unit a second: higher lags less.',
  }),
  rateCutoffHz: cutoff('Cut-off for the rate that is judged by, Hz.'),
  gapS: gapParameter(1),
})

interface Memory {
  started: boolean
  lastS: number
  out: number
  rate: number
}

/**
 * Steady at rest and quick in motion: a first-order low-pass whose cut-off rises with the rate. G. Casiez,
 * N. Roussel, D. Vogel, "1€ filter", CHI 2012, doi 10.1145/2207676.2208639; the rate is taken against the last
 * filtered value, as the authors' code does. Each value comes with its own step in time; one at the same time
 * as the last changes nothing. Bad values are not taken in: what was known stands, marked bad.
 */
export const oneEuro = defineBlock({
  kind: 'one-euro',
  summary: 'Steady at rest, quick in motion: for a display.',
  parameters,
  inputs: { value: number(unitFrom('unit'), 'With noise.') },
  outputs: { value: number(unitFrom('unit'), 'Smoothed.') },
  start: (): Memory => ({ started: false, lastS: 0, out: 0, rate: 0 }),
  step(
    { in: { value: given }, out: { value } },
    memory,
    settings: Static<typeof parameters>,
    rows,
  ) {
    for (let row = 0; row < rows; row++) {
      const quality = trueQuality(given.value[row] as number, given.quality[row] as number)
      if (quality < BAD)
        take(memory, given.value[row] as number, given.timeS[row] as number, settings)
      value.value[row] = memory.out
      value.quality[row] = quality
    }
  },
})

function take(
  memory: Memory,
  value: number,
  timeS: number,
  { cutoffHz, beta, rateCutoffHz, gapS }: Static<typeof parameters>,
): void {
  const stepS = timeS - memory.lastS
  memory.lastS = timeS
  if (!(memory.started && stepS >= 0 && stepS <= gapS)) {
    memory.started = true
    memory.out = value
    memory.rate = 0
  } else if (stepS > STEP_MIN_S) {
    const rate = (value - memory.out) / stepS
    memory.rate += weight(rateCutoffHz, stepS) * (rate - memory.rate)
    memory.out += weight(cutoffHz + beta * Math.abs(memory.rate), stepS) * (value - memory.out)
  }
}

/** The paper's α: 1 / (1 + τ/Te), τ = 1/(2π·fc). */
const weight = (cutoffHz: number, stepS: number) => 1 / (1 + 1 / (2 * Math.PI * cutoffHz * stepS))
