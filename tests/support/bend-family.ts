import {
  CYCLE_DEFAULTS,
  closeCycle,
  datumTaken,
  newCycle,
  stepCycle,
} from '../../server/bend/cycle.ts'
import type { CycleEvent } from '../../server/bend/cycle-event.ts'
import { type HoldRange, randomBend, type Sample, seeded } from './synthetic-trace.ts'

export type Settled = CycleEvent & { kind: 'settled' }

/** What the bend watch reports of a trace, from a datum at its start to a close at its end. */
export function watched(samples: readonly Sample[]): CycleEvent[] {
  const events: CycleEvent[] = []
  const report = (event: CycleEvent) => events.push(event)
  const state = newCycle()
  datumTaken(state, 0, 0, report)
  for (const sample of samples) stepCycle(state, CYCLE_DEFAULTS, { ...sample, quality: 0 }, report)
  closeCycle(state, samples.at(-1)?.timeS ?? 0, 'end', report)
  return events
}

/** The last word on each go, by its number from 1. */
export function measuredGoes(events: readonly CycleEvent[]): Settled[] {
  const goes: Settled[] = []
  for (const event of events) if (event.kind === 'settled') goes[event.go - 1] = event
  return goes
}

export interface FamilyFigures {
  traces: number
  goes: number
  /** Seeds of traces with too few goes, too many, or another number of strokes. */
  missed: number[]
  made: number[]
  strokesWrong: number[]
  /** Absolute errors, degrees, rising. */
  peakErrorsDeg: number[]
  releasedErrorsDeg: number[]
  /** Seeds with an error beyond the goal of 0.05°. */
  beyond: number[]
  /** Root mean square of released error over its standard error: 1 when that is honest. */
  errorOverSe: number
}

const GOAL_DEG = 0.05

/** Runs the bend watch over random traces, one a seed, and compares with what the die truly did. */
export function runFamily(firstSeed: number, traces: number, hold: HoldRange): FamilyFigures {
  const figures: FamilyFigures = {
    traces,
    goes: 0,
    missed: [],
    made: [],
    strokesWrong: [],
    peakErrorsDeg: [],
    releasedErrorsDeg: [],
    beyond: [],
    errorOverSe: 0,
  }
  let ratios = 0
  for (let seed = firstSeed; seed < firstSeed + traces; seed += 1) {
    const { motion, samples } = randomBend(seeded(seed), hold)
    const found = measuredGoes(watched(samples))
    if (found.length < motion.goes.length) figures.missed.push(seed)
    if (found.length > motion.goes.length) figures.made.push(seed)
    motion.goes.forEach((truth, place) => {
      const go = found[place]
      if (!go) return
      const peakErrorDeg = Math.abs(go.peakDeg - truth.peakDeg)
      const releasedErrorDeg = Math.abs(go.releasedDeg - (truth.releasedDeg ?? Number.NaN))
      figures.goes += 1
      figures.peakErrorsDeg.push(peakErrorDeg)
      figures.releasedErrorsDeg.push(releasedErrorDeg)
      ratios += (releasedErrorDeg / go.releasedSeDeg) ** 2
      if (go.strokes !== truth.strokes) figures.strokesWrong.push(seed)
      if (!(peakErrorDeg <= GOAL_DEG && releasedErrorDeg <= GOAL_DEG)) figures.beyond.push(seed)
    })
  }
  figures.peakErrorsDeg.sort((a, b) => a - b)
  figures.releasedErrorsDeg.sort((a, b) => a - b)
  figures.errorOverSe = Math.sqrt(ratios / figures.goes)
  return figures
}

/** The value that a share of the sorted values does not exceed. */
export function quantile(sorted: readonly number[], share: number): number {
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN
}
