import type { FallLog } from './fall-log.ts'
import { addRow, clearLeastSquares, newLeastSquares, solve } from './least-squares.ts'

/** Where the die stands still after letting off. */
export interface Plateau {
  /** When it began, seconds. */
  readonly fromS: number
  readonly levelDeg: number
  /** Standard error of the level, degrees. */
  readonly seDeg: number
}

/** Shorter than this nothing is called standing still. */
const PLATEAU_MIN_S = 0.3
const ENTRIES_MIN = 6

/**
 * Finds the level at which the fall ends. Where the fall ends and the plateau begins is the change point that
 * MSER picks: the truncation with the smallest marginal standard error (K. P. White, Simulation 69 (1997)
 * 323–334, quoted from memory), made for just this, a transient that dies away into a steady level.
 * When the rest of the fall is still to be seen in the plateau, the level is where its exponential leads.
 *
 * @param quantumDeg the sensor's step, as seen; 0 when there is none.
 * @returns null while nothing in the log stands still long enough.
 */
export function findPlateau(log: FallLog, quantumDeg: number): Plateau | null {
  const from = truncation(log)
  if (from < 0) return null
  const fromS = log.timeS[from] as number
  const own = meanWithError(log, from, quantumDeg)
  const tail = fitTail(log, from, own.levelDeg)
  if (!tail) return { fromS, levelDeg: own.levelDeg, seDeg: CHOICE * own.seDeg }
  const apartDeg = tail.levelDeg - own.levelDeg
  const tailSeDeg = Math.hypot(tail.seDeg * own.inflation, own.floorDeg)
  if (Math.abs(apartDeg) <= own.seDeg || tailSeDeg > Math.abs(apartDeg))
    return { fromS, levelDeg: own.levelDeg, seDeg: CHOICE * Math.hypot(own.seDeg, apartDeg) }
  return { fromS, levelDeg: tail.levelDeg, seDeg: CHOICE * Math.hypot(tailSeDeg, apartDeg / 4) }
}

/** The truncation is chosen for a small error, so the error that is computed after the choice is too small: on
 * the random traces of tests/simulation errors were 1.5 times as large as it said. */
const CHOICE = 1.5

/** First entry of the plateau, or −1. */
function truncation(log: FallLog): number {
  const { timeS, angleDeg, count } = log
  const base = angleDeg[count - 1] ?? 0
  const lastS = timeS[count - 1] ?? 0
  let sum = 0
  let squares = 0
  let best = -1
  let least = Number.MAX_VALUE
  for (let entry = count - 1; entry >= 0; entry -= 1) {
    const offDeg = (angleDeg[entry] as number) - base
    sum += offDeg
    squares += offDeg * offDeg
    const kept = count - entry
    if (kept < ENTRIES_MIN || lastS - (timeS[entry] as number) < PLATEAU_MIN_S) continue
    const marginal = (squares - (sum * sum) / kept) / (kept * kept)
    if (marginal > least) continue
    least = marginal
    best = entry
  }
  return best
}

function meanWithError(log: FallLog, from: number, quantumDeg: number) {
  const { angleDeg, count } = log
  const kept = count - from
  let sum = 0
  for (let entry = from; entry < count; entry += 1) sum += angleDeg[entry] as number
  const levelDeg = sum / kept
  let squares = 0
  let lagged = 0
  let beforeDeg = 0
  for (let entry = from; entry < count; entry += 1) {
    const offDeg = (angleDeg[entry] as number) - levelDeg
    squares += offDeg * offDeg
    lagged += offDeg * beforeDeg
    beforeDeg = offDeg
  }
  // An AR(1) series of lag-one correlation r has (1 + r)/(1 − r) times the variance of the mean of white noise.
  const r = squares > 0 ? Math.min(0.9, Math.max(0, lagged / squares)) : 0
  const inflation = Math.sqrt((1 + r) / (1 - r))
  const whiteDeg = Math.sqrt(squares / (kept - 1) / kept)
  const floorDeg = quantumFloor(quantumDeg, (squares / (kept - 1)) * log.width)
  return { levelDeg, inflation, floorDeg, seDeg: Math.hypot(whiteDeg * inflation, floorDeg) }
}

/**
 * What averaging cannot take away of the sensor's step q: q/√12 when nothing shakes the reading, next to
 * nothing once noise of q/2 dithers it (Widrow and Kollár, Quantization Noise, 2008: the bias of a mean
 * falls as exp(−2π²σ²/q²); quoted from memory).
 */
function quantumFloor(quantumDeg: number, variance: number): number {
  if (!(quantumDeg > 0)) return 0
  const step2 = quantumDeg * quantumDeg
  const ownVariance = Math.max(0, variance - step2 / 12)
  return (quantumDeg / Math.sqrt(12)) * Math.exp((-2 * Math.PI ** 2 * ownVariance) / step2)
}

/** Time constants tried for the tail of a fall, each a fifth longer than the one before: 0.02 s to 4 s. */
const TAUS_S = Array.from({ length: 30 }, (_, step) => 0.02 * 1.2 ** step)
/** The tail is what follows the first two thirds of the fall; it is exponential even where the start is not. */
const TAIL_SHARE = 0.33

/** Level to which the end of the fall leads, if it is exponential. */
function fitTail(
  log: FallLog,
  plateauFrom: number,
  levelDeg: number,
): { levelDeg: number; seDeg: number } | null {
  const startDeg = levelDeg + TAIL_SHARE * ((log.angleDeg[0] as number) - levelDeg)
  let from = 0
  while (from < plateauFrom && (log.angleDeg[from] as number) > startDeg) from += 1
  const points = log.count - from
  if (points < 2 * ENTRIES_MIN) return null
  const problem = newLeastSquares(2)
  const { row } = problem
  row[0] = 1
  const squaresAt = (tauS: number) => {
    clearLeastSquares(problem)
    for (let entry = from; entry < log.count; entry += 1) {
      row[1] = Math.exp(((log.timeS[from] as number) - (log.timeS[entry] as number)) / tauS)
      addRow(problem, (log.angleDeg[entry] as number) - levelDeg)
    }
    return solve(problem)
  }
  let least = Number.MAX_VALUE
  let bestS = 0
  for (const tauS of TAUS_S) {
    const squares = squaresAt(tauS)
    if (squares >= least) continue
    least = squares
    bestS = tauS
  }
  squaresAt(bestS)
  return {
    levelDeg: levelDeg + (problem.solution[0] as number),
    seDeg: tailError(log, from, bestS, problem.solution[1] as number, least / (points - 3)),
  }
}

/** Standard error of the asymptote when level, amplitude and time constant are all unknown. */
function tailError(
  log: FallLog,
  from: number,
  tauS: number,
  fallDeg: number,
  variance: number,
): number {
  const jacobian = newLeastSquares(3)
  const { row } = jacobian
  for (let entry = from; entry < log.count; entry += 1) {
    const spans = ((log.timeS[entry] as number) - (log.timeS[from] as number)) / tauS
    // The level comes last, so that the factor's last diagonal element is its own weight alone.
    row[0] = Math.exp(-spans)
    row[1] = fallDeg * spans * Math.exp(-spans)
    row[2] = 1
    addRow(jacobian, 0)
  }
  solve(jacobian)
  return Math.sqrt(variance) / (jacobian.normal[8] as number)
}
