import { Compile } from 'typebox/compile'
import { type Bend, type BendRow, NewBend, RecordedRow } from '../messages/bends.ts'
import { fromCanonical, makePick, toCanonical } from './canonical.ts'
import { HistoryError } from './errors.ts'
import { exactMs } from './iso-time.ts'
import type { PackedRaw } from './raw-text.ts'

/** A bend without its hashes: what is hashed. */
type Evidence = Omit<Bend, 'previousHash' | 'hash'>

/** The columns that repeat what is filtered by. */
export interface BendColumns {
  readonly started_ms: number
  readonly part: string
  readonly lot: string
  readonly operator: string
  readonly verdict: string
  readonly setup_id: number
  readonly learned: 0 | 1
}

/** A row of the table `bend` as far as a whole bend is concerned. */
export interface RecordRow {
  readonly record: string
  readonly previous_hash: Buffer
  readonly hash: Buffer
}

const newBend = Compile(NewBend)

function refuse(what: string): never {
  throw new HistoryError('HISTORY_BAD_BEND', { what })
}

function checkBend(bend: NewBend): void {
  if (!newBend.Check(bend)) {
    const error = newBend.Errors(bend).at(-1)
    refuse(`${error?.instancePath || 'the bend'} ${error?.message ?? 'has another shape'}`)
  }
  if (exactMs(bend.startedAt) === null) refuse(`startedAt is no time with offset`)
  if (exactMs(bend.finishedAt) === null) refuse(`finishedAt is no time with offset`)
}

function evidenceOf(id: number, bend: NewBend, raw: PackedRaw): Evidence {
  const { job, tube } = bend
  return {
    id,
    ...bend,
    lot: tube.lot,
    part: job.part,
    piece: job.piece,
    bendNumber: job.bendNumber,
    operator: job.operator,
    rawLines: raw.lines,
    rawSha256: raw.sha256,
  }
}

/**
 * The canonical text of record `id`.
 *
 * @throws HistoryError `HISTORY_BAD_BEND` with the path at fault.
 */
export function recordText(id: number, bend: NewBend, raw: PackedRaw): string {
  checkBend(bend)
  try {
    return toCanonical(evidenceOf(id, bend, raw))
  } catch (error) {
    return refuse(error instanceof Error ? error.message : String(error))
  }
}

export const evidenceIn = (record: string) => fromCanonical(record) as Evidence

export function columnsOf(evidence: Evidence): BendColumns {
  return {
    started_ms: exactMs(evidence.startedAt) ?? 0,
    part: evidence.part,
    lot: evidence.lot,
    operator: evidence.operator,
    verdict: evidence.verdict,
    setup_id: evidence.setupId,
    learned: evidence.learned === 'yes' ? 1 : 0,
  }
}

/** The set-up as it stands in the table `setup`: the station, die, tube and sensor of the bend. */
export const setupTextOf = ({ setup, tube }: Pick<NewBend, 'setup' | 'tube'>) =>
  toCanonical({ ...setup, tube })

export function bendOf(row: RecordRow): Bend {
  return {
    ...evidenceIn(row.record),
    previousHash: row.previous_hash.toString('hex'),
    hash: row.hash.toString('hex'),
  }
}

const pickRow = makePick(Object.keys(RecordedRow.properties))

/** The line of the history list. */
export const listRowOf = (record: string) => pickRow(record) as BendRow
