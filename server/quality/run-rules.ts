import { inOneGo } from './in-one-go.ts'
import { type Marks, placesMarked } from './marked-places.ts'
import { eachStretch } from './stretches.ts'
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

/** Where the rules look: values about a centre. */
interface About {
  readonly values: Values
  readonly centre: number
}

/**
 * Marks what completes a pattern from one place to before another. Called for one stretch after the other: what it
 * carries along is put into plain variables meanwhile, since of a million values each slower access takes long.
 */
type Scan = (from: number, to: number, marks: Marks, bit: number) => void

/** A row of at least `length` points, all farther from the centre than an edge, or all nearer. */
function rowScan({ values, centre }: About, edge: number, isBeyond: boolean, length: number): Scan {
  let carried = 0
  return (from, to, marks, bit) => {
    let row = carried
    for (let place = from; place < to; place += 1) {
      const size = Math.abs((values[place] ?? centre) - centre)
      row = (isBeyond ? size > edge : size < edge) ? row + 1 : 0
      if (row >= length) marks[place] = (marks[place] ?? 0) | bit
    }
    carried = row
  }
}

const signOf = (value: number) => Number(value > 0) - Number(value < 0)

/** A row of at least `length` equal signs, none of them 0. */
function signScan(signAt: (place: number) => number, length: number): Scan {
  let [rowCarried, signCarried] = [0, 0]
  return (from, to, marks, bit) => {
    let [row, before] = [rowCarried, signCarried]
    for (let place = from; place < to; place += 1) {
      const sign = signAt(place)
      row = sign === 0 ? 0 : sign === before ? row + 1 : 1
      if (row >= length) marks[place] = (marks[place] ?? 0) | bit
      before = sign
    }
    rowCarried = row
    signCarried = before
  }
}

/** Gives the sign of the step up to a place; 0 at the first. */
const makeStepAt =
  ({ values, centre }: About) =>
  (place: number) =>
    place === 0
      ? 0
      : signOf((values[place] ?? centre) - centre - ((values[place - 1] ?? centre) - centre))

/** A whole window, of which at least `least` points lie beyond an edge on one side. */
function windowScan({ values, centre }: About, edge: number, least: number, length: number): Scan {
  let [aboveCarried, belowCarried] = [0, 0]
  return (from, to, marks, bit) => {
    let [above, below] = [aboveCarried, belowCarried]
    for (let place = from; place < to; place += 1) {
      const come = (values[place] ?? centre) - centre
      const gone = place < length ? 0 : (values[place - length] ?? centre) - centre
      above += Number(come > edge) - Number(gone > edge)
      below += Number(come < -edge) - Number(gone < -edge)
      if (place >= length - 1 && Math.max(above, below) >= least)
        marks[place] = (marks[place] ?? 0) | bit
    }
    aboveCarried = above
    belowCarried = below
  }
}

function scanOf(rule: RunRule, about: About, sigma: number): Scan {
  const { values, centre } = about
  const stepAt = makeStepAt(about)
  switch (rule.name) {
    case 'beyond':
      return rowScan(about, rule.sigmas * sigma, true, 1)
    case 'side':
      return signScan((place) => signOf((values[place] ?? centre) - centre), rule.length)
    case 'trend':
      return signScan(stepAt, rule.length - 1)
    case 'alternating':
      // Up and down by turns is a row of equal signs once every other one is turned.
      return signScan((at) => (at % 2 === 0 ? stepAt(at) : -stepAt(at)), rule.length - 1)
    case 'zone':
      return windowScan(about, rule.sigmas * sigma, rule.least, rule.length)
    case 'within':
      return rowScan(about, rule.sigmas * sigma, false, rule.length)
    case 'outside':
      return rowScan(about, rule.sigmas * sigma, true, rule.length)
  }
}

/**
 * Marks with a bit the places that complete a rule's pattern, in steps; none at a sigma of 0 where the rule needs one.
 *
 * @throws RangeError for a centre or sigma that is not finite, or a sigma below 0.
 */
export function* markRuleSteps(
  rule: RunRule,
  about: About & { readonly sigma: number },
  marks: Marks,
  bit: number,
): Generator<void> {
  const { values, centre, sigma } = about
  if (!(Number.isFinite(centre) && sigma >= 0 && sigma < Infinity))
    throw new RangeError(`run rules need a centre and a sigma: ${centre}, ${sigma}`)
  if (sigma === 0 && 'sigmas' in rule) return
  const scan = scanOf(rule, about, sigma)
  yield* eachStretch(values.length, (from, to) => scan(from, to, marks, bit))
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
  const found = rules.map((rule) => {
    const marks = new Uint8Array(values.length)
    inOneGo(markRuleSteps(rule, { values, centre, sigma }, marks, 1))
    return { rule, places: placesMarked(marks, 1) }
  })
  return found.filter(({ places }) => places.length > 0)
}
