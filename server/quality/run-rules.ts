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

/** Rules that look at a window of neighbours at a time. */
type WindowRule = Exclude<RunRule, { readonly name: 'beyond' | 'side' | 'trend' }>

/** Signs of the steps from one point to the next: one fewer than points. */
const stepsOf = (points: readonly number[]) =>
  points.slice(1).map((point, i) => Math.sign(point - (points[i] ?? point)))

const allAre = (signs: readonly number[], sign: number) => signs.every((own) => own === sign)

/** @param points As many distances from the centre as the rule looks at. */
function isPattern(rule: WindowRule, points: readonly number[], sigma: number): boolean {
  const beyond = (sigmas: number) => (point: number) => point > sigmas * sigma
  switch (rule.name) {
    case 'alternating': {
      const steps = stepsOf(points).map((step, i) => (i % 2 === 0 ? step : -step))
      return allAre(steps, 1) || allAre(steps, -1)
    }
    case 'zone':
      return [1, -1].some((side) => {
        const there = points.map((point) => side * point).filter(beyond(rule.sigmas))
        return there.length >= rule.least
      })
    case 'within':
      return points.every((point) => Math.abs(point) < rule.sigmas * sigma)
    case 'outside':
      return points.map(Math.abs).every(beyond(rule.sigmas))
  }
}

/** Places that end a row of at least `length` equal signs, none of them 0. */
function rowsOfSign(signs: readonly number[], length: number): number[] {
  const places: number[] = []
  let row = 0
  for (const [place, sign] of signs.entries()) {
    row = sign === 0 ? 0 : sign === signs[place - 1] ? row + 1 : 1
    if (row >= length) places.push(place)
  }
  return places
}

function windowsOf(rule: WindowRule, points: readonly number[], sigma: number): number[] {
  const [places, length]: [number[], number] = [[], rule.length]
  for (let end = length; end <= points.length; end += 1)
    if (isPattern(rule, points.slice(end - length, end), sigma)) places.push(end - 1)
  return places
}

/** The commonest rules by one count along the run: of a million values a window each takes seconds. */
function placesOf(rule: RunRule, points: readonly number[], sigma: number): number[] {
  switch (rule.name) {
    case 'beyond': {
      const places: number[] = []
      for (const [place, point] of points.entries())
        if (Math.abs(point) > rule.sigmas * sigma) places.push(place)
      return places
    }
    case 'side':
      return rowsOfSign(points.map(Math.sign), rule.length)
    case 'trend':
      return rowsOfSign(stepsOf(points), rule.length - 1).map((step) => step + 1)
    default:
      return windowsOf(rule, points, sigma)
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
  values: readonly number[],
  centre: number,
  sigma: number,
  rules: readonly RunRule[] = ISO_7870_2,
): RunFinding[] {
  if (!(Number.isFinite(centre) && sigma >= 0 && sigma < Infinity))
    throw new RangeError(`run rules need a centre and a sigma: ${centre}, ${sigma}`)
  const points = values.map((value) => value - centre)
  const needsSigma = (rule: RunRule) => 'sigmas' in rule
  return rules
    .filter((rule) => sigma > 0 || !needsSigma(rule))
    .map((rule) => ({ rule, places: placesOf(rule, points, sigma) }))
    .filter(({ places }) => places.length > 0)
}
