import canonicalize from 'canonicalize'

/**
 * Records are hashed over the JSON Canonicalization Scheme, RFC 8785, with every measured number turned
 * into an integer of a finer unit: a decimal fraction has more than one spelling in the languages a
 * reviewer may use, an integer has one.
 */

/** Steps to a unit: a millionth of a degree, millimetre (a nanometre), second… */
export const STEPS = 1_000_000

/**
 * Largest integer that survives there and back: dividing and multiplying by the steps errs by less than
 * 2^-51 of the value, so below 2^50 by less than half a step.
 */
const INTEGER_MAX = 2 ** 50

/** The end of a name tells the unit. Nanometres, since 1/16 in is 1.5875 mm and no whole micrometre. */
const UNITS: readonly (readonly [coarse: string, fine: string])[] = [
  ['DegPerS', 'UdegPerS'],
  ['Deg', 'Udeg'],
  ['Mm', 'Nm'],
  ['Bar', 'Ubar'],
  // Of the fall's acceleration: an accelerometer's g.
  ['G', 'Ug'],
  ['S', 'Us'],
  ['Gpa', 'Kpa'],
  ['Mpa', 'Pa'],
  ['degreesOfFreedom', 'microDegreesOfFreedom'],
  // Of a material; plain numbers.
  ['exponent', 'microExponent'],
  ['unloadingFactor', 'microUnloadingFactor'],
  ['slopeSpread', 'microSlopeSpread'],
  // What a bend outside its tolerance costs, in a unit of the shop's own.
  ['oneMoreGo', 'microOneMoreGo'],
  ['scrap', 'microScrap'],
  // Of what an inspection is held against: percent or a ratio.
  ['limit', 'microLimit'],
  ['thinningMaxPercent', 'microThinningMaxPercent'],
]

type Json = null | boolean | number | string | readonly Json[] | { readonly [name: string]: Json }

const isGroup = (value: Json): value is { readonly [name: string]: Json } =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

function renamed(name: string, from: 0 | 1): string | null {
  const unit = UNITS.find((pair) => name.endsWith(pair[from]))
  if (unit === undefined) return null
  return name.slice(0, name.length - unit[from].length) + unit[from === 0 ? 1 : 0]
}

function integer(value: number, path: string): number {
  if (!(Number.isInteger(value) && Math.abs(value) <= INTEGER_MAX))
    throw new RangeError(`${path} must be a whole number up to 2^50 steps, got ${value}`)
  // Adding 0 turns -0 into 0: the scheme writes both as 0, and reading must give back what was hashed.
  return value + 0
}

function finer(value: Json, path: string): Json {
  if (typeof value === 'number') return integer(value, path)
  if (Array.isArray(value)) return value.map((item, i) => finer(item, `${path}/${i}`))
  if (!isGroup(value)) return value
  return Object.fromEntries(
    Object.entries(value).map(([name, item]) => finerEntry(name, item, `${path}/${name}`)),
  )
}

function finerEntry(name: string, value: Json, path: string): [string, Json] {
  const fineName = renamed(name, 0)
  if (fineName === null) {
    if (renamed(name, 1) !== null) throw new RangeError(`${path} has the name of a hashed unit`)
    return [name, finer(value, path)]
  }
  if (value === null) return [fineName, null]
  if (typeof value !== 'number') throw new RangeError(`${path} must be a number or null`)
  return [fineName, integer(Math.round(value * STEPS), path)]
}

function coarser(value: Json): Json {
  if (Array.isArray(value)) return value.map(coarser)
  if (!isGroup(value)) return value
  return Object.fromEntries(
    Object.entries(value).map(([name, item]) => {
      const coarseName = renamed(name, 1)
      if (coarseName === null) return [name, coarser(item)]
      return [coarseName, typeof item === 'number' ? item / STEPS : item]
    }),
  )
}

/**
 * The text that is hashed and kept. Numbers with a unit are rounded to the nearest step.
 *
 * @throws RangeError with the path of a number that cannot be kept: not finite, too large, or not whole
 *   under a name without a unit; Error for text that is no Unicode (a lone surrogate).
 */
export function toCanonical(value: object): string {
  const text = canonicalize(finer(value as Json, ''))
  if (text === undefined) throw new RangeError('There is nothing to write')
  return text
}

/** Reads a canonical text back: the very numbers that `toCanonical` was given, to the step. */
export function fromCanonical(text: string): unknown {
  return coarser(JSON.parse(text) as Json)
}

/** Reads a few names of the outermost group only: a list needs no more, and takes a third of the time. */
export function makePick<K extends string>(
  names: readonly K[],
): (text: string) => Record<K, unknown> {
  const kept = names.map((name) => ({ name, fineName: renamed(name, 0) }))
  return function pick(text) {
    const group = JSON.parse(text) as { readonly [name: string]: Json }
    const entries = kept.flatMap(({ name, fineName }): [string, unknown][] => {
      const value = group[fineName ?? name]
      if (value === undefined) return []
      if (fineName === null) return [[name, coarser(value)]]
      return [[name, typeof value === 'number' ? value / STEPS : value]]
    })
    return Object.fromEntries(entries) as Record<K, unknown>
  }
}
