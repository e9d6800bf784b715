import type { BendDraft } from '../bend/bend-draft.ts'
import { judge } from '../bend/judge.ts'
import type { SpringbackModel } from '../bend/springback.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import type { NewBend } from '../messages/bends.ts'
import type { Job, StoredSetup } from '../messages/setup.ts'
import { lessonFrom, millionths, predictionAt } from './coach.ts'
import { type ReadoutInForce, readoutFacts } from './readout-facts.ts'

/** Everything that was in force while a bend was made. */
export interface InForce {
  readonly setup: StoredSetup
  readonly job: Job
  readonly model: SpringbackModel
  readonly leadS: number
  readonly chainRevision: string
  readonly firmware: string | null
  readonly software: string
  readonly simulated: boolean
  /** What an angle finder showed of the bend. */
  readonly checkedDeg?: number | null
  /** Null: not known, since the bend was cut off. */
  readonly readout: ReadoutInForce | null
}

/** How a record says that the operator gave the bend up. It is kept, and teaches nothing. */
export const ABANDONED = 'abandoned'
/** What was taken for a bend was the turning of a reference piece. */
export const REFERENCE_PIECE = 'reference piece'

const NOT_LEARNED_WHY: Readonly<Record<string, string>> = {
  [ABANDONED]: 'The bend was abandoned.',
  [REFERENCE_PIECE]: 'It was a reference piece, no bend.',
}

/** Whether what was closed so came to nothing, whatever was measured of it. */
export const isGivenUp = (closedBy: string): boolean => Object.hasOwn(NOT_LEARNED_WHY, closedBy)

type Fate = Pick<NewBend, 'startedAt' | 'finishedAt' | 'closedBy'>

function inForce(circumstances: InForce) {
  const { setup, job, leadS, chainRevision, firmware, software, simulated } = circumstances
  const { checkedDeg = null } = circumstances
  const { station, die, sensor, tube } = setup.setup
  return {
    schema: 1 as const,
    wantedDeg: job.wantedDeg,
    toleranceDeg: job.toleranceDeg,
    checkedDeg,
    setupId: setup.id,
    setup: { station, die, sensor },
    tube,
    job,
    leadS,
    chainRevision,
    firmware,
    software,
    simulated,
  }
}

/** A bend that a crash left open: nothing of it was measured, and the record says so. */
export function incompleteBend(circumstances: InForce, fate: Fate): NewBend {
  return {
    ...inForce(circumstances),
    ...readoutFacts(circumstances.readout, { releasedDeg: null, releasedSeDeg: null }),
    ...fate,
    commandedDeg: null,
    peakDeg: null,
    releasedDeg: null,
    releasedSeDeg: null,
    springbackDeg: null,
    hits: 0,
    goes: [],
    verdict: 'incomplete',
    learned: 'no',
    notLearnedWhy: 'The bend was not finished.',
    prediction: null,
    datumDeg: null,
  }
}

/** The record of a bend from what the bend watch drafted. `wallMsAt` maps chain time to wall time. */
export function newBend(
  draft: BendDraft,
  circumstances: InForce,
  wallMsAt: (timeS: number) => number,
): NewBend {
  const { model, job } = circumstances
  const last = draft.goes.at(-1)
  const peakDeg = last?.peakDeg ?? null
  const releasedDeg = draft.complete ? (last?.releasedDeg ?? null) : null
  const verdict = releasedDeg === null ? 'incomplete' : judge(releasedDeg, job).verdict
  const source = last?.releasedFrom && { releasedFrom: last.releasedFrom }
  const releasedSeDeg = releasedDeg === null ? null : (last?.releasedSeDeg ?? null)
  const notLearnedWhy = NOT_LEARNED_WHY[draft.closedBy]
  const isPositive = peakDeg !== null && peakDeg > 0 && peakDeg <= 360
  return {
    ...inForce(circumstances),
    ...readoutFacts(circumstances.readout, { releasedDeg, releasedSeDeg, ...source }),
    startedAt: isoWithOffset(wallMsAt(draft.startedAtS)),
    finishedAt: isoWithOffset(wallMsAt(draft.finishedAtS)),
    closedBy: draft.closedBy,
    commandedDeg: last?.commandedDeg ?? null,
    peakDeg,
    releasedDeg,
    releasedSeDeg,
    springbackDeg:
      peakDeg === null || releasedDeg === null ? null : millionths(peakDeg - releasedDeg),
    ...source,
    hits: draft.goes.length,
    goes: draft.goes.map((go) => ({ ...go, peakAtS: millionths(go.peakAtS) })),
    verdict,
    ...(notLearnedWhy !== undefined
      ? { learned: 'no' as const, notLearnedWhy }
      : lessonFrom({ peakDeg, releasedDeg, verdict, ...source })),
    prediction: isPositive ? predictionAt(model, peakDeg) : null,
    datumDeg: draft.datumDeg,
  }
}
