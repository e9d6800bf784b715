import { refusal } from './formula-tokens.ts'
import {
  type Dimension,
  dimensionName,
  dimensionOf,
  PURE,
  sameDimension,
  timesPower,
} from './formula-units.ts'

/** What is known of a part of a formula. */
export interface Part {
  /** Where its value stands. */
  readonly place: number
  readonly dimension: Dimension
  /** Its value, where it is a number and no more. */
  readonly constant: number | null
  /** As written, for sentences. */
  readonly text: string
}

/** Writes its result to place `to`, from the values at `x`, `y` and `z`. */
export type Run = (v: Float64Array, to: number, x: number, y: number, z: number) => void

interface Operation {
  /** @throws RangeError where units do not go together. */
  dimension(parts: readonly Part[], text: string): Dimension
  readonly run: Run
}

const at = (parts: readonly Part[], nth: number): Part => {
  const part = parts[nth]
  if (part === undefined) throw new Error(`an operation lacks its part ${nth}`)
  return part
}

function demand(part: Part, wanted: Dimension, text: string): void {
  if (sameDimension(part.dimension, wanted)) return
  throw refusal(
    `${part.text} is ${dimensionName(part.dimension)}, where ${text} takes ${dimensionName(wanted)}`,
  )
}

/** All of one unit, which stays. */
function alike(parts: readonly Part[], text: string): Dimension {
  const first = at(parts, 0)
  const other = parts.find((part) => !sameDimension(part.dimension, first.dimension))
  if (other === undefined) return first.dimension
  const bare = [first, other].find(({ constant }) => constant !== null)
  const hint = bare ? `; a number takes its unit as a factor, as in ${bare.text}*deg` : ''
  throw refusal(
    `in ${text} ${dimensionName(first.dimension)} and ${dimensionName(other.dimension)} do not go together${hint}`,
  )
}

const allOf = (wanted: Dimension, given: Dimension) => (parts: readonly Part[], text: string) => {
  for (const part of parts) demand(part, wanted, text)
  return given
}

function powerDimension(parts: readonly Part[], text: string): Dimension {
  const base = at(parts, 0)
  const power = at(parts, 1)
  demand(power, PURE, text)
  if (sameDimension(base.dimension, PURE)) return PURE
  if (power.constant === null)
    throw refusal(`in ${text} the power of something with a unit must be a plain number`)
  return timesPower(PURE, base.dimension, power.constant)
}

const times = (power: number) => (parts: readonly Part[]) =>
  timesPower(at(parts, 0).dimension, at(parts, 1).dimension, power)

const DEG = dimensionOf('deg')
const RADIANS = Math.PI / 180
const n = (v: Float64Array, place: number) => v[place] as number

/** 1 or 0; of what is no number, no number: nothing is decided by it. */
const compared = (holds: (x: number, y: number) => boolean): Operation => ({
  dimension: (parts, text) => {
    alike(parts, text)
    return PURE
  },
  run: (v, to, x, y) => {
    const isNumber = n(v, x) - n(v, x) === 0 && n(v, y) - n(v, y) === 0
    v[to] = isNumber ? Number(holds(n(v, x), n(v, y))) : Number.NaN
  },
})

const power: Operation = {
  dimension: powerDimension,
  run: (v, to, x, y) => {
    v[to] = n(v, x) ** n(v, y)
  },
}

/** Of one value. */
const one = (dimension: Operation['dimension'], make: (x: number) => number): Operation => ({
  dimension,
  run: (v, to, x) => {
    v[to] = make(n(v, x))
  },
})
/** Of two values. */
const two = (
  dimension: Operation['dimension'],
  make: (x: number, y: number) => number,
): Operation => ({
  dimension,
  run: (v, to, x, y) => {
    v[to] = make(n(v, x), n(v, y))
  },
})

/** Halves go away from zero, on both sides. */
const round = (x: number) => Math.sign(x) * Math.round(Math.abs(x))

const operations: Readonly<Record<string, Operation>> = {
  negate: one(alike, (x) => -x),
  '+': two(alike, (x, y) => x + y),
  '-': two(alike, (x, y) => x - y),
  '*': two(times(1), (x, y) => x * y),
  '/': two(times(-1), (x, y) => x / y),
  '^': power,
  pow: power,
  '<': compared((x, y) => x < y),
  '<=': compared((x, y) => x <= y),
  '>': compared((x, y) => x > y),
  '>=': compared((x, y) => x >= y),
  '==': compared((x, y) => x === y),
  '!=': compared((x, y) => x !== y),
  '?:': {
    dimension: (parts, text) => {
      demand(at(parts, 0), PURE, text)
      return alike(parts.slice(1), text)
    },
    run: (v, to, x, y, z) => {
      const chosen = n(v, x) !== 0 ? n(v, y) : n(v, z)
      v[to] = Number.isNaN(n(v, x)) ? Number.NaN : chosen
    },
  },
  abs: one(alike, Math.abs),
  min: two(alike, Math.min),
  max: two(alike, Math.max),
  clamp: {
    dimension: alike,
    run: (v, to, x, y, z) => {
      v[to] = Math.min(Math.max(n(v, x), n(v, y)), n(v, z))
    },
  },
  round: one(alike, round),
  sign: one(() => PURE, Math.sign),
  sqrt: one(([part]) => timesPower(PURE, part?.dimension ?? PURE, 0.5), Math.sqrt),
  exp: one(allOf(PURE, PURE), Math.exp),
  log: one(allOf(PURE, PURE), Math.log),
  sin: one(allOf(DEG, PURE), (x) => Math.sin(x * RADIANS)),
  cos: one(allOf(DEG, PURE), (x) => Math.cos(x * RADIANS)),
  tan: one(allOf(DEG, PURE), (x) => Math.tan(x * RADIANS)),
  atan2: two(
    (parts, text) => {
      alike(parts, text)
      return DEG
    },
    (y, x) => Math.atan2(y, x) / RADIANS,
  ),
}

export const operationOf = (name: string): Operation | undefined =>
  Object.hasOwn(operations, name) ? operations[name] : undefined
