import { placesMarked } from './marked-places.ts'
import type { Values } from './summary.ts'

/** A pattern that chance alone seldom makes. Zones are in sigmas from the centre. */
export type RunRule =
  | { readonly name: 'beyond'; readonly sigmas: number }
  | { readonly name: 'side'; readonly length: number }
  | { readonly name: 'trend'; readonly length: number }
  | { readonly name: 'alternating'; readonly length: number }
  | {
      readonly name: 'zone'
      readonly sigmas: number
      readonly least: number
      readonly length: number
    }
  | { readonly name: 'within'; readonly sigmas: number; readonly length: number }
  | { readonly name: 'outside'; readonly sigmas: number; readonly length: number }

/** One rule, with its settings, and the places (from 0) of the points that complete the pattern. */
export interface RunFinding {
  readonly rule: RunRule
  readonly places: readonly number[]
}

/** Main clause of ISO 7870-2: a point beyond, seven on one side, seven rising or falling (content from memory). */
export const ISO_7870_2: readonly RunRule[] = [
  { name: 'beyond', sigmas: 3 },
  { name: 'side', length: 7 },
  { name: 'trend', length: 7 },
]

/** Statistical Quality Control Handbook, 1956. */
export const FOUR_RULES_1956: readonly RunRule[] = [
  { name: 'beyond', sigmas: 3 },
  { name: 'zone', sigmas: 2, least: 2, length: 3 },
  { name: 'zone', sigmas: 1, least: 4, length: 5 },
  { name: 'side', length: 8 },
]

/** Journal of Quality Technology 16(4), 1984, 237–239. All eight together cry wolf: take few of them. */
export const EIGHT_RULES_1984: readonly RunRule[] = [
  { name: 'beyond', sigmas: 3 },
  { name: 'side', length: 9 },
  { name: 'trend', length: 6 },
  { name: 'alternating', length: 14 },
  { name: 'zone', sigmas: 2, least: 2, length: 3 },
  { name: 'zone', sigmas: 1, least: 4, length: 5 },
  { name: 'within', sigmas: 1, length: 15 },
  { name: 'outside', sigmas: 1, length: 8 },
]

/** Where the rules look: values about a centre. Plain loops, since of a million values a call each takes long. */
interface About {
  readonly values: Values
  readonly centre: number
}

/** Marks places that end a row of at least `length` points, all farther from the centre than an edge, or all nearer. */
function rowsBy({ values, centre }: About, edge: number, isBeyond: boolean, length: number) {
  const marks = new Uint8Array(values.length)
  let row = 0
  for (let place = 0; place < values.length; place += 1) {
    const size = Math.abs((values[place] ?? centre) - centre)
    row = (isBeyond ? size > edge : size < edge) ? row + 1 : 0
    if (row >= length) marks[place] = 1
  }
  return marks
}

/** Marks places that end a row of at least `length` equal signs, none of them 0. */
function rowsOfSign(signs: Int8Array, length: number): Uint8Array {
  const marks = new Uint8Array(signs.length)
  let [row, before] = [0, 0]
  for (let place = 0; place < signs.length; place += 1) {
    const sign = signs[place] ?? 0
    row = sign === 0 ? 0 : sign === before ? row + 1 : 1
    if (row >= length) marks[place] = 1
    before = sign
  }
  return marks
}

function sidesOf({ values, centre }: About): Int8Array {
  const signs = new Int8Array(values.length)
  for (let i = 0; i < signs.length; i += 1) signs[i] = Math.sign((values[i] ?? centre) - centre)
  return signs
}

/** Signs of the steps up to each point; 0 at the first. */
function stepsOf({ values, centre }: About): Int8Array {
  const signs = new Int8Array(values.length)
  let before = (values[0] ?? centre) - centre
  for (let i = 1; i < signs.length; i += 1) {
    const point = (values[i] ?? centre) - centre
    signs[i] = Math.sign(point - before)
    before = point
  }
  return signs
}

/** Up and down by turns is a row of equal signs once every other one is turned. */
const byTurns = (steps: Int8Array) => steps.map((step, place) => (place % 2 === 0 ? step : -step))

/** Marks places that end a whole window, of which at least `least` points lie beyond an edge on one side. */
function windowsWith({ values, centre }: About, edge: number, least: number, length: number) {
  const marks = new Uint8Array(values.length)
  let [above, below] = [0, 0]
  for (let place = 0; place < values.length; place += 1) {
    const come = (values[place] ?? centre) - centre
    const gone = place < length ? 0 : (values[place - length] ?? centre) - centre
    above += Number(come > edge) - Number(gone > edge)
    below += Number(come < -edge) - Number(gone < -edge)
    if (place >= length - 1 && Math.max(above, below) >= least) marks[place] = 1
  }
  return marks
}

function marksOf(rule: RunRule, about: About, sigma: number): Uint8Array {
  switch (rule.name) {
    case 'beyond':
      return rowsBy(about, rule.sigmas * sigma, true, 1)
    case 'side':
      return rowsOfSign(sidesOf(about), rule.length)
    case 'trend':
      return rowsOfSign(stepsOf(about), rule.length - 1)
    case 'alternating':
      return rowsOfSign(byTurns(stepsOf(about)), rule.length - 1)
    case 'zone':
      return windowsWith(about, rule.sigmas * sigma, rule.least, rule.length)
    case 'within':
      return rowsBy(about, rule.sigmas * sigma, false, rule.length)
    case 'outside':
      return rowsBy(about, rule.sigmas * sigma, true, rule.length)
  }
}

/**
 * Which rules a run of values breaks, and where.
 *
 * Decided here, for the sources leave it open: a value on a limit or on the centre line is not beyond it; equal
 * neighbours end a trend; a window is judged when it is full; a value once found stays in later windows.
 *
 * @param sigma 0 or more. At 0 nothing is told apart by zones, so only side, trend and alternating can be found.
 * @returns A finding for each rule that is broken, in the order of the rules.
 * @throws RangeError for a centre or sigma that is not finite, or a sigma below 0.
 */
export function runFindings(
  values: Values,
  centre: number,
  sigma: number,
  rules: readonly RunRule[] = ISO_7870_2,
): RunFinding[] {
  if (!(Number.isFinite(centre) && sigma >= 0 && sigma < Infinity))
    throw new RangeError(`run rules need a centre and a sigma: ${centre}, ${sigma}`)
  const needsSigma = (rule: RunRule) => 'sigmas' in rule
  return rules
    .filter((rule) => sigma > 0 || !needsSigma(rule))
    .map((rule) => ({ rule, places: placesMarked(marksOf(rule, { values, centre }, sigma)) }))
    .filter(({ places }) => places.length > 0)
}
