import type { Go, NewBend, Verdict } from '../../server/messages/bends.ts'
import type { Aim, LinkState, Notice, Result } from '../../server/messages/live.ts'
import type { Job, StoredSetup } from '../../server/messages/setup.ts'
import { ENDS_S, type GoPlan } from './fake-bend.ts'

export const FAKE_SOFTWARE = '0.1.0-fake'

/** Faults that a page must be able to show. `null` in their place is a station in good order. */
export const FAULTS = ['silent', 'garbled', 'lost', 'uncertain', 'disk'] as const
export type Fault = (typeof FAULTS)[number]

const WIRE_FAULTS: Partial<Record<Fault, Pick<LinkState, 'state' | 'reason' | 'hint'>>> = {
  silent: {
    state: 'silent',
    reason: 'The port is open but nothing has arrived for 2 s.',
    hint: 'Check that the board has power and that the cable is in.',
  },
  garbled: {
    state: 'garbled',
    reason: 'Bytes arrive but make no lines.',
    hint: 'Try another speed with --baud.',
  },
  lost: {
    state: 'lost',
    reason: 'The port went away.',
    hint: 'Plug the sensor in again; it is found by itself.',
  },
}

const NOTICES: Partial<Record<Fault, Notice>> = {
  uncertain: {
    id: 'quality',
    kind: 'doubt',
    text: 'The sensor says its magnet is weak.',
    hint: 'Check the gap between magnet and sensor.',
  },
  disk: {
    id: 'storage',
    kind: 'fault',
    text: 'The disk is full: bends wait in memory.',
    hint: 'Make room in the data folder; they are then saved by themselves.',
  },
}

export const noticesFor = (fault: Fault | null): Notice[] => {
  const notice = fault && NOTICES[fault]
  return notice ? [notice] : []
}

export function linkState(fault: Fault | null, samples: number): LinkState {
  const wire = (fault && WIRE_FAULTS[fault]) || { state: 'live' as const, reason: '', hint: '' }
  return {
    ...wire,
    source: 'built-in bench',
    device: {
      firmware: 'bench 1',
      board: 'bench',
      sensor: 'encoder',
      countsPerTurn: 16_384,
      rateHz: 100,
    },
    counters: {
      lines: samples,
      samples,
      badChecksum: 0,
      malformed: 0,
      overlong: 0,
      unknown: 0,
      gaps: 0,
      duplicates: 0,
      reconnects: 0,
    },
  }
}

export function aimFor(job: Job, springbackDeg: number, bendsLearned: number): Aim {
  const halfWidthDeg = 0.3 + 1.5 / (1 + bendsLearned)
  return {
    commandedDeg: job.wantedDeg + springbackDeg,
    springbackDeg,
    lowDeg: job.wantedDeg - halfWidthDeg,
    highDeg: job.wantedDeg + halfWidthDeg,
    bendsLearned,
    why:
      bendsLearned === 0
        ? 'From the tube and the material alone: nothing was bent with this set-up yet.'
        : `From ${bendsLearned} bends of this set-up.`,
  }
}

function goOf(plan: GoPlan): Go {
  const { beganS, commandedDeg, peakDeg, releasedDeg } = plan
  return {
    commandedDeg,
    cueDeg: commandedDeg - 0.3,
    cueRateDegPerS: 4,
    peakDeg,
    peakAtS: beganS + ENDS_S.held - ENDS_S['no-datum'],
    releasedDeg,
    releasedSeDeg: 0.01,
    releasedAtS: beganS + ENDS_S['letting-off'] - ENDS_S['no-datum'],
    strokes: 1,
  }
}

function verdictOf(job: Job, releasedDeg: number): Verdict {
  const errorDeg = releasedDeg - job.wantedDeg
  if (Math.abs(errorDeg) <= job.toleranceDeg) return 'in'
  return errorDeg < 0 ? 'under' : 'over'
}

export function resultOf(job: Job, plan: GoPlan): Result {
  const errorDeg = plan.releasedDeg - job.wantedDeg
  const verdict = verdictOf(job, plan.releasedDeg)
  return {
    bendId: null,
    go: goOf(plan),
    verdict,
    errorDeg,
    expandedUncertaintyDeg: 0.1,
    againDeg: verdict === 'under' ? plan.peakDeg - errorDeg : null,
    goingAgain: false,
    learnedWhy: 'The next aim moves a little towards what this bend sprang back.',
  }
}

/** What the station hands to the history when a bend is closed. */
export function bendOf(bend: {
  stored: StoredSetup
  job: Job
  goes: readonly GoPlan[]
  startedMs: number
  closedBy: string
}): NewBend {
  const { stored, job, goes, startedMs, closedBy } = bend
  const last = goes.at(-1)
  const { tube, ...setup } = stored.setup
  const isWhole = closedBy !== 'abandoned'
  return {
    schema: 1,
    startedAt: new Date(startedMs).toISOString(),
    finishedAt: new Date(startedMs + 1000 * ENDS_S.settled).toISOString(),
    wantedDeg: job.wantedDeg,
    toleranceDeg: job.toleranceDeg,
    commandedDeg: last?.commandedDeg ?? null,
    peakDeg: last?.peakDeg ?? null,
    releasedDeg: last?.releasedDeg ?? null,
    releasedSeDeg: last ? 0.01 : null,
    springbackDeg: last ? last.peakDeg - last.releasedDeg : null,
    checkedDeg: null,
    hits: goes.length,
    goes: goes.map(goOf),
    verdict: last && isWhole ? verdictOf(job, last.releasedDeg) : 'incomplete',
    closedBy,
    learned: last && isWhole ? 'yes' : 'no',
    notLearnedWhy: last && isWhole ? null : 'The bend was given up.',
    prediction: null,
    setupId: stored.id,
    setup,
    tube,
    job,
    datumDeg: 12.5,
    leadS: 0.2,
    chainRevision: 'fake-chain-1',
    calibration: 'none',
    verification: null,
    firmware: 'bench 1',
    software: FAKE_SOFTWARE,
    simulated: true,
  }
}
