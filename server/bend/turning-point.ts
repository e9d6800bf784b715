import { type Curve, creptDeg, curveFitter, type Model, type Stretch } from './turning-curve.ts'
import { type Start, startFinder } from './turning-start.ts'

export interface TurningPoint {
  readonly peakDeg: number
  readonly peakAtS: number
}

/** So much of a rise tells its rate; more would bring in how the rate varies with the arm's geometry. */
const RISE_S = 0.4

/**
 * The peak under load: the top of the curve that fits best, not the largest sample, which noise lifts and
 * a smoother's lag lowers. Variable projection (G. H. Golub and V. Pereyra, SIAM J. Numer. Anal. 10 (1973)
 * 413–432) with damped steps (D. W. Marquardt, J. SIAM 11 (1963) 431–441); curves of more and less freedom
 * weighted by G. Schwarz's criterion (Ann. Stat. 6 (1978) 461–464). Quoted from memory.
 *
 * @param falls whether the stretch ends in a fall; if not, the die stands still to its end.
 * @returns the highest sample of a stretch that is too short for a curve, or does not rise.
 */
export function fitTurningPoint(stretch: Stretch, falls: boolean): TurningPoint {
  const find = startFinder(stretch, falls)
  const tries = modelsOf(falls).flatMap((model) => {
    const start = find(model.slows, model.holds)
    return start ? [{ model, start }] : []
  })
  if (tries.length === 0) return highestOf(stretch)
  const first = firstOfRise(stretch, leastOf(tries.map(({ start }) => start)))
  const tops: Top[] = []
  for (const { model, start } of tries) {
    const least = Math.min(...tops.map(({ squares }) => squares))
    tops.push(fitModel(stretch, first, start, model, HOPELESS * least))
  }
  return weighted(tops, stretch.timeS.length - first)
}

/** Those that hold come first: most tops do, and then the others are soon seen to be hopeless. */
function modelsOf(falls: boolean): Model[] {
  const both = [false, true]
  return (falls ? [true, false] : [true]).flatMap((holds) =>
    both.flatMap((slows) =>
      both.filter((creeps) => holds || !creeps).map((creeps) => ({ slows, holds, creeps, falls })),
    ),
  )
}

const leastOf = <T extends { readonly squares: number }>(all: readonly T[]): T =>
  all.reduce((least, each) => (each.squares < least.squares ? each : least))

function highestOf({ timeS, angleDeg }: Stretch): TurningPoint {
  const peakDeg = Math.max(...angleDeg)
  return { peakDeg, peakAtS: timeS[angleDeg.indexOf(peakDeg)] as number }
}

function firstOfRise({ timeS }: Stretch, { stopS, slowS }: Start): number {
  const fromS = stopS - slowS / 2 - RISE_S
  return timeS.findIndex((each) => each >= fromS)
}

/**
 * A hold of unknown length counts twice: any length up to half a second would do, and the data narrow it to
 * milliseconds, which is a narrower fit than the criterion's one freedom pays for. Found by trial on traces
 * with and without a short hold.
 */
const HOLD_COUNTS = 2

interface Top extends TurningPoint {
  readonly squares: number
  readonly freedoms: number
}

function fitModel(
  stretch: Stretch,
  first: number,
  start: Start,
  model: Model,
  hopeless: number,
): Top {
  const curve = search(curveFitter(stretch, first, model), start, hopeless)
  // A die that still creeps up has its top at the hold's end.
  const creepsUp = model.creeps && curve.creepDeg > 0
  const holdIsFree = model.holds && model.falls
  return {
    peakDeg: (stretch.angleDeg[0] as number) + curve.levelDeg + (creepsUp ? creptDeg(curve) : 0),
    peakAtS: creepsUp ? curve.fallAtS : curve.stopS,
    squares: curve.squares,
    freedoms: Number(model.slows) + Number(model.creeps) + HOLD_COUNTS * Number(holdIsFree),
  }
}

/** A search that still gains after this many steps gains nothing that could be read. */
const STEPS_MAX = 30
/** Nor does a gain of less than this share show in the top. */
const GAIN_MIN = 1e-3
const DAMPING_START = 1e-3
const DAMPING_MAX = 100
/** A curve that leaves over so many times what another does after a few steps has no weight, and gets none. */
const HOPELESS = 10
const HOPELESS_STEPS = 5

/** @param hopeless a sum of squares beyond which the search is given up. */
function search(
  { project, step }: ReturnType<typeof curveFitter>,
  start: Start,
  hopeless: number,
): Curve {
  let curve = project(start)
  let damping = DAMPING_START
  for (let steps = 0; steps < STEPS_MAX && damping <= DAMPING_MAX; steps += 1) {
    const next = project(step(curve, damping))
    // A die that came back before it stopped would have passed its top.
    const gain = next.rate < 0 ? curve.squares - next.squares : 0
    const enough = GAIN_MIN * curve.squares
    if (gain > 0) curve = next
    if (gain > 0 && gain < enough) break
    if (steps >= HOPELESS_STEPS && curve.squares > hopeless) break
    damping *= gain > 0 ? 0.1 : 10
  }
  return curve
}

/** Freedoms that every curve has: level, rate and its bend, fall, its start and its time constant. */
const FREEDOMS = 6

function weighted(tops: readonly Top[], points: number): TurningPoint {
  const least = leastOf(tops).squares
  const variance = Math.max(least / Math.max(1, points - FREEDOMS - 3), Number.MIN_VALUE)
  let total = 0
  let peakDeg = 0
  let peakAtS = 0
  for (const top of tops) {
    const misfit = (top.squares - least) / variance + top.freedoms * Math.log(points)
    const weight = Math.exp(-misfit / 2)
    total += weight
    peakDeg += weight * top.peakDeg
    peakAtS += weight * top.peakAtS
  }
  return { peakDeg: peakDeg / total, peakAtS: peakAtS / total }
}
