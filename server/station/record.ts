import type { BendDraft } from '../bend/bend-draft.ts'
import { judge } from '../bend/judge.ts'
import type { SpringbackModel } from '../bend/springback.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import type { NewBend } from '../messages/bends.ts'
import type { Job, StoredSetup } from '../messages/setup.ts'
import { lessonFrom, millionths, predictionAt } from './coach.ts'

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
}

/** Until the set-up can be calibrated, the readout is what the board's counts say. */
const CALIBRATION = 'counts per turn, not calibrated'

/** How a record says that the operator gave the bend up. It is kept, and teaches nothing. */
export const ABANDONED = 'abandoned'

type Fate = Pick<NewBend, 'startedAt' | 'finishedAt' | 'closedBy'>

function inForce({ setup, job, leadS, chainRevision, firmware, software, simulated }: InForce) {
  const { station, die, sensor, tube } = setup.setup
  return {
    schema: 1 as const,
    wantedDeg: job.wantedDeg,
    toleranceDeg: job.toleranceDeg,
    checkedDeg: null,
    setupId: setup.id,
    setup: { station, die, sensor },
    tube,
    job,
    leadS,
    chainRevision,
    calibration: CALIBRATION,
    verification: null,
    firmware,
    software,
    simulated,
  }
}

/** A bend that a crash left open: nothing of it was measured, and the record says so. */
export function incompleteBend(circumstances: InForce, fate: Fate): NewBend {
  return {
    ...inForce(circumstances),
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
  const isPositive = peakDeg !== null && peakDeg > 0 && peakDeg <= 360
  return {
    ...inForce(circumstances),
    startedAt: isoWithOffset(wallMsAt(draft.startedAtS)),
    finishedAt: isoWithOffset(wallMsAt(draft.finishedAtS)),
    closedBy: draft.closedBy,
    commandedDeg: last?.commandedDeg ?? null,
    peakDeg,
    releasedDeg,
    releasedSeDeg: releasedDeg === null ? null : (last?.releasedSeDeg ?? null),
    springbackDeg:
      peakDeg === null || releasedDeg === null ? null : millionths(peakDeg - releasedDeg),
    hits: draft.goes.length,
    goes: draft.goes.map((go) => ({ ...go, peakAtS: millionths(go.peakAtS) })),
    verdict,
    ...(draft.closedBy === ABANDONED
      ? { learned: 'no' as const, notLearnedWhy: 'The bend was abandoned.' }
      : lessonFrom(model, { peakDeg, releasedDeg, verdict })),
    prediction: isPositive ? predictionAt(model, peakDeg) : null,
    datumDeg: draft.datumDeg,
  }
}
