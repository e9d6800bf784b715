import { errorShares, isByReadout } from '../../bend/error-shares.ts'
import { VERDICTS, type Verdict } from '../../messages/bends.ts'
import type { Standing } from '../../messages/readout.ts'
import type { Job } from '../../messages/setup.ts'
import { STEPS } from '../canonical.ts'

/** The fields of text that are looked for by name. */
export const NAMED = ['part', 'lot', 'operator', 'die', 'station'] as const
export type Named = (typeof NAMED)[number]

/**
 * Bits of a row: what is known of a bend beside its figures. The first five are of its record and of the one before,
 * the next five of acts; due follows from both.
 */
export const MARK = {
  ...{ overdue: 1, failed: 2, good: 4, clock: 8, planned: 16 },
  ...{ amended: 32, void: 64, signed: 128, noted: 256, inspected: 512 },
  due: 1024,
  /** Of its record: the built-in bench made it. */
  simulated: 2048,
} as const

const BY_STANDING: Readonly<Record<Standing, number>> = {
  none: 0,
  good: MARK.good,
  overdue: MARK.overdue,
  failed: MARK.failed,
}

/** What a bend is found by, as its record has it. Degrees; NaN where it has none. */
export interface BendFacts extends Readonly<Record<Named, string>> {
  readonly startedMs: number
  /** Seconds from its start to its end. */
  readonly tookS: number
  readonly piece: number
  /** Of the plan of which pieces are measured; 0: it says none, or there is no plan. */
  readonly everyNth: number
  readonly lastPiece: number
  /** Place in `VERDICTS`. */
  readonly verdict: number
  readonly marks: number
  readonly offDeg: number
  readonly toleranceDeg: number
  readonly springbackDeg: number
  readonly wantedDeg: number
  /** Shares of released less wanted. */
  readonly stopDeg: number
  readonly tubeDeg: number
  readonly aimDeg: number
  /** Expanded uncertainty of the released angle, where a calibration stands behind it. */
  readonly expandedDeg: number
}

type SamplingPlan = NonNullable<Job['sampling']>

/** Of the canonical text, what is read here: measured numbers are whole steps there. */
interface Hashed extends Record<'part' | 'lot' | 'operator' | 'startedAt' | 'finishedAt', string> {
  readonly piece: number
  readonly simulated: boolean
  readonly verdict: Verdict
  readonly wantedUdeg: number
  readonly releasedUdeg: number | null
  readonly releasedFrom?: string
  readonly toleranceUdeg: number
  readonly springbackUdeg: number | null
  readonly commandedUdeg: number | null
  readonly peakUdeg: number | null
  readonly prediction?: { readonly springbackUdeg: number } | null
  readonly setup: { readonly station: string; readonly die: { readonly name: string } }
  readonly job?: { readonly sampling?: SamplingPlan }
  readonly readout?: {
    readonly standing: Standing
    readonly calibration: object | null
    readonly releasedExpandedUdeg: number | null
  }
}

const degOf = (udeg: number | null | undefined) => (udeg == null ? Number.NaN : udeg / STEPS)
const orNull = (udeg: number | null | undefined) => (udeg == null ? null : udeg / STEPS)

const NO_SHARES = { stopDeg: Number.NaN, tubeDeg: Number.NaN, aimDeg: Number.NaN }

function sharesOf(
  hashed: Pick<Hashed, 'commandedUdeg' | 'peakUdeg' | 'wantedUdeg' | 'releasedUdeg' | 'prediction'>,
) {
  const shares = errorShares({
    wantedDeg: hashed.wantedUdeg / STEPS,
    commandedDeg: orNull(hashed.commandedUdeg),
    peakDeg: orNull(hashed.peakUdeg),
    releasedDeg: orNull(hashed.releasedUdeg),
    expectedDeg: orNull(hashed.prediction?.springbackUdeg),
  })
  return shares ?? NO_SHARES
}

/** A text that is no record any more: what is listed under its number says so when it is read. */
const UNREADABLE: BendFacts = {
  ...{ part: '', lot: '', operator: '', die: '', station: '', piece: 0, marks: 0 },
  ...{ everyNth: 0, lastPiece: 0 },
  ...{ startedMs: 0, tookS: 0, verdict: VERDICTS.indexOf('incomplete') },
  ...{ offDeg: Number.NaN, toleranceDeg: Number.NaN, springbackDeg: Number.NaN },
  ...{ wantedDeg: Number.NaN, expandedDeg: Number.NaN, ...NO_SHARES },
}

/** Reads the text without making the whole record of it, which takes thrice as long. */
function read(record: string): BendFacts {
  const { part, lot, operator, piece, setup, readout, job, ...hashed } = JSON.parse(
    record,
  ) as Hashed
  const { wantedUdeg, releasedUdeg } = hashed
  const plan = job?.sampling
  const startedMs = Date.parse(hashed.startedAt)
  return {
    ...{ part, lot, operator, piece, die: setup.die.name, station: setup.station },
    startedMs,
    tookS: (Date.parse(hashed.finishedAt) - startedMs) / 1000,
    verdict: VERDICTS.indexOf(hashed.verdict),
    marks:
      BY_STANDING[readout?.standing ?? 'none'] |
      (plan ? MARK.planned : 0) |
      (hashed.simulated ? MARK.simulated : 0),
    ...{ everyNth: plan?.everyNth ?? 0, lastPiece: plan?.lastPiece ?? 0 },
    offDeg: degOf(releasedUdeg === null ? null : releasedUdeg - wantedUdeg),
    toleranceDeg: degOf(hashed.toleranceUdeg),
    springbackDeg: degOf(hashed.springbackUdeg),
    wantedDeg: degOf(wantedUdeg),
    expandedDeg: degOf(
      isByReadout(releasedUdeg, hashed.releasedFrom) && readout?.calibration
        ? readout.releasedExpandedUdeg
        : null,
    ),
    ...sharesOf(hashed),
  }
}

export function factsOf(record: string): BendFacts {
  try {
    return read(record)
  } catch {
    return UNREADABLE
  }
}
