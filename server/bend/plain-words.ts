import type { LotDifference } from './lot-difference.ts'
import type { NextLesson } from './next-lesson.ts'

/** What a bend left at an angle is expected to spring back. Degrees. */
export interface Expected {
  readonly wantedDeg: number
  readonly loadedDeg: number
  readonly springbackDeg: number
  readonly halfDeg: number
}

/** What an expectation rests on, in bends. */
export interface RestsOn {
  readonly ownBends: number
  readonly lotBends: number
  readonly materialBends: number
}

const round = (deg: number) => String(Number(deg.toFixed(1)))
/** Rounded up: never better known than it is. */
const within = (deg: number) => `±${(Math.ceil(deg * 10 - 1e-6) / 10).toFixed(1)}°`
const bends = (count: number) => (count === 1 ? '1 bend' : `${count} bends`)

function source({ ownBends, lotBends, materialBends }: RestsOn): string {
  if (ownBends > 0) return `From ${bends(ownBends)} of this set-up`
  if (lotBends > 0) return `No bend of this set-up counts yet. From ${bends(lotBends)} of its lot`
  if (materialBends > 0)
    return `No bend of this lot counts yet. From ${bends(materialBends)} of its material`
  return "No bend of this material counts yet. From the section's mechanics alone"
}

/** What is expected, from what, and how well it is known. */
export function expectedSentence(expected: Expected, rests: RestsOn): string {
  const { wantedDeg, loadedDeg, springbackDeg, halfDeg } = expected
  const springs = `springs back ${springbackDeg.toFixed(1)}° from ${loadedDeg.toFixed(1)}°, within ${within(halfDeg)}`
  return `${source(rests)}: a bend that is to be left at ${round(wantedDeg)}° ${springs}.`
}

/** This lot against the one before it, at a wanted angle in degrees. */
export function differenceSentence(
  { differenceDeg, expandedDeg, isTold }: LotDifference,
  wantedDeg: number,
  lastLot: string,
): string {
  const word = differenceDeg >= 0 ? 'more' : 'less'
  const off = `${Math.abs(differenceDeg).toFixed(1)}° ${word}`
  const at = `at ${round(wantedDeg)}°`
  return isTold
    ? `This lot springs ${off} ${at} than the last, ${lastLot}, known to ${within(expandedDeg)}.`
    : `This lot and the last, ${lastLot}, cannot be told apart yet: ${off} ${at}, known to ${within(expandedDeg)} only.`
}

/** A step that is not worth a word, degrees. */
const STEP_SHOWN_DEG = 0.05

/** What the next bend at a wanted angle in degrees will teach. */
export function lessonSentence({ nowDeg, afterDeg, leftDeg }: NextLesson, wantedDeg: number) {
  const left = `what then remains, down to about ${within(leftDeg)}, is the scatter from tube to tube`
  const next = `The next bend to ${round(wantedDeg)}°`
  return nowDeg - afterDeg < STEP_SHOWN_DEG
    ? `${next} will hardly narrow that: most of it is the scatter from tube to tube.`
    : `${next} will narrow that from ${within(nowDeg)} to about ${within(afterDeg)}; ${left}.`
}

/** Bends that teach nothing, or against the weights; null where there is none. */
export function apartSentence(apart: number, decided: number): string | null {
  if (apart === 0 && decided === 0) return null
  const said = decided === 0 ? '' : ` A person decided on ${bends(decided)}.`
  if (apart === 0) return said.trim()
  const are = apart === 1 ? 'is set apart and teaches' : 'are set apart and teach'
  return `${bends(apart)} ${are} nothing until later bends bear it out or a person puts it back.${said}`
}
