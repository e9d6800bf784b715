import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { BAD, NONE, type NumberColumn } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { UNITS, unitFrom, unitParameter } from '../chain/unit.ts'
import { trueQuality } from './filter-input.ts'
import { makeProgram, type Program } from './formula-program.ts'

const unitOf = (name: string) => unitParameter(UNITS, 'deg', `Unit of ${name}.`)

const parameters = strict({
  expression: Type.String({
    maxLength: 200,
    default: 'a',
    description:
      'Numbers, a to d, + - * / ^, comparisons, ?: and known functions; 5*deg is five degrees.',
  }),
  unit: unitParameter(UNITS, 'deg', 'Unit of the result; it must be what the formula gives.'),
  unitA: unitOf('a'),
  unitB: unitOf('b'),
  unitC: unitOf('c'),
  unitD: unitOf('d'),
})
type Parameters = Static<typeof parameters>

/** Made from the parameters alone, so no part of the memory. */
const programs = new WeakMap<object, Program>()

function programOf(settings: Parameters): Program {
  const known = programs.get(settings)
  if (known) return known
  const { expression, unit, unitA, unitB, unitC, unitD } = settings
  const program = makeProgram(expression, [unitA, unitB, unitC, unitD], unit)
  programs.set(settings, program)
  return program
}

/**
 * One's own arithmetic, units checked before it runs. Angles are in degrees throughout, so sin, cos, tan take
 * degrees and atan2 gives them; log is the natural one; a comparison gives 1 or 0. Both branches of ?: are
 * worked out, and quality is the worst of all inputs that are named, and of a. A result that is no number is
 * bad. Where it is bad the last value stands, 0 before the first.
 */
export const formula = defineBlock({
  kind: 'formula',
  summary: "One's own arithmetic, units checked.",
  parameters,
  inputs: {
    a: number(unitFrom('unitA'), 'First value; its rows have a result.'),
    b: number(unitFrom('unitB'), 'Second value.'),
    c: number(unitFrom('unitC'), 'Third value.'),
    d: number(unitFrom('unitD'), 'Fourth value.'),
  },
  outputs: { value: number(unitFrom('unit'), 'The result.') },
  optional: ['b', 'c', 'd'],
  needs: ({ expression }: Parameters) =>
    (['b', 'c', 'd'] as const).filter((name) => new RegExp(`\\b${name}\\b`).test(expression)),
  start(settings: Parameters) {
    programOf(settings)
    return { last: 0 }
  },
  step({ in: { a, b, c, d }, out: { value: out } }, memory, settings, rows) {
    const { places, steps, result, uses } = programOf(settings)
    for (let row = 0; row < rows; row++) {
      let quality = take(a, row, places, 0)
      if (uses[1]) quality = Math.max(quality, take(b, row, places, 1))
      if (uses[2]) quality = Math.max(quality, take(c, row, places, 2))
      if (uses[3]) quality = Math.max(quality, take(d, row, places, 3))
      if (quality < BAD) {
        for (let step = 0; step < steps.length; step++) steps[step]?.()
        const value = places[result] as number
        if (Number.isFinite(value)) memory.last = value
        else quality = BAD
      }
      out.value[row] = memory.last
      out.quality[row] = quality
    }
  },
})

/** @returns the quality of what was put in its place. */
function take(column: NumberColumn, row: number, places: Float64Array, place: number): number {
  const value = column.value[row] as number
  const quality = column.quality[row] as number
  places[place] = value
  return quality === NONE ? NONE : trueQuality(value, quality)
}
