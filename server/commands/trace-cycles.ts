import { type BendDraft, draftCycle, newDraft } from '../bend/bend-draft.ts'
import { CYCLE_DEFAULTS, closeCycle, datumTaken, newCycle, stepCycle } from '../bend/cycle.ts'
import type { CycleEvent } from '../bend/cycle-event.ts'
import type { Trace } from './trace-csv.ts'
import { type CycleStart, restBeforeMotion } from './trace-rest.ts'

/** What was measured of one go; angles from the datum, times as in the file. */
interface TracedGo {
  readonly peakDeg: number
  readonly peakAtS: number
  readonly releasedDeg: number | null
  readonly releasedSeDeg: number | null
  readonly releasedAtS: number | null
  readonly strokes: number
}

/** One bend of a trace. What stands beside `goes` is of the last go; `strokes` counts those of all. */
export interface TracedCycle extends TracedGo {
  readonly datumDeg: number
  readonly goes: readonly TracedGo[]
}

/** As the readout shows it: within one turn, where the trace itself is. */
const shown = (angleDeg: number): number =>
  angleDeg >= 360 || angleDeg < -180 ? angleDeg - 360 * Math.floor(angleDeg / 360) : angleDeg

/** Runs the bend watch over a whole trace. @param datum the readout that is zero, or how to find it. */
export function cyclesOf(trace: Trace, datum: number | 'auto'): TracedCycle[] {
  const cycles: TracedCycle[] = []
  let from = 0
  while (from < trace.timeS.length) {
    const start = datum === 'auto' ? restBeforeMotion(trace, from) : fixedDatum(trace, from, datum)
    if (start === null) break
    const { goes, end } = watchFrom(trace, start.index, start.datumDeg)
    const last = goes.at(-1)
    const strokes = goes.reduce((sum, go) => sum + go.strokes, 0)
    if (last) cycles.push({ datumDeg: millionths(shown(start.datumDeg)), ...last, strokes, goes })
    from = end
  }
  return cycles
}

/** The given readout, on the turn that is nearest; a bend begins from below where one is told from slack. */
function fixedDatum(trace: Trace, from: number, shownDeg: number): CycleStart | null {
  const firstDeg = trace.angleDeg[0] as number
  const datumDeg = shownDeg + 360 * Math.round((firstDeg - shownDeg) / 360)
  const reachedDeg = datumDeg + CYCLE_DEFAULTS.startDeg
  for (let index = from; index < trace.angleDeg.length; index += 1)
    if ((trace.angleDeg[index] as number) <= reachedDeg) return { index, datumDeg }
  return null
}

/** @returns the goes seen, and the index after the last sample that was looked at. */
function watchFrom(trace: Trace, from: number, datumDeg: number) {
  const state = newCycle()
  const draft = newDraft()
  let bend: BendDraft | null = null
  let out = false
  const report = (event: CycleEvent) => {
    bend = draftCycle(draft, event) ?? bend
    out ||= event.kind === 'taken-out'
  }
  datumTaken(state, trace.timeS[from] as number, datumDeg, report)
  let index = from
  for (; index < trace.timeS.length && !out; index += 1) {
    const timeS = trace.timeS[index] as number
    const angleDeg = (trace.angleDeg[index] as number) - datumDeg
    stepCycle(state, CYCLE_DEFAULTS, { timeS, angleDeg, quality: 0 }, report)
  }
  closeCycle(state, trace.timeS[index - 1] as number, 'end of the trace', report)
  return { goes: goesOf(bend), end: index }
}

function goesOf(bend: BendDraft | null): TracedGo[] {
  if (bend === null) return []
  const inFile = (sinceDatumS: number) => millionths(bend.startedAtS + sinceDatumS)
  return bend.goes.map(
    ({ peakDeg, peakAtS, releasedDeg, releasedSeDeg, releasedAtS, strokes }) => ({
      peakDeg,
      peakAtS: inFile(peakAtS),
      releasedDeg,
      releasedSeDeg,
      releasedAtS: releasedAtS === null ? null : inFile(releasedAtS),
      strokes,
    }),
  )
}

/** No sensor and no clock here is finer. Adding zero makes −0 a plain 0. */
const millionths = (value: number): number => Math.round(value * 1e6) / 1e6 + 0
