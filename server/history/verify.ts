import type { Database } from 'better-sqlite3'
import type { Bend } from '../messages/bends.ts'
import { inOneGo } from '../quality/in-one-go.ts'
import { FIRST_HASH, nextHash } from './chain-hash.ts'
import { isDamage } from './disk-errors.ts'
import type { Verified, VerifiedLog } from './history.ts'
import { measureRaw } from './raw-text.ts'
import { type BendColumns, columnsOf, evidenceIn, type RecordRow, setupTextOf } from './record.ts'
import { ACT_LOG } from './verify-acts.ts'
import { CHAIN_LOG } from './verify-chains.ts'
import { EXPORT_LOG } from './verify-exports.ts'
import { makeHashes, verifyLogSteps } from './verify-log.ts'
import { PEOPLE_LOG } from './verify-people.ts'
import { READOUT_LOG } from './verify-readout.ts'

/** Records read in one go; the raw lines of one bend at a time. */
const BATCH_ROWS = 100
/** Packed raw lines that are unpacked and hashed in one step: those of two usual bends, some milliseconds. */
const RAW_BYTES_A_STEP = 64 * 1024

interface EvidenceRow extends RecordRow, BendColumns {
  readonly id: number
  /** Text of the set-up that the row names. */
  readonly known_setup: string | null
}

/** What a row is checked against besides itself. */
interface Beside {
  readonly packed: Buffer | undefined
  readonly entryHash: (id: number) => string | null
}

/** How far the chain held, and whether the anchor was met on the way. */
interface Held {
  id: number
  hash: Buffer
  isAnchored: boolean
}

type Break = Pick<Verified, 'firstBroken' | 'why'>

export interface VerifyOptions {
  /** A head written down earlier, of the bends or of a log, hexadecimal: shows a tail that was cut off or written anew. */
  readonly anchor?: string | undefined
  /** Leaves out SQLite's own check of the file, which takes long in one piece. */
  readonly isChainOnly?: boolean
}

const COLUMNS = [
  'started_ms',
  'part',
  'lot',
  'operator',
  'verdict',
  'setup_id',
  'learned',
] as const satisfies readonly (keyof BendColumns)[]

const ALTERED = {
  hash: 'its hash is not that of its text',
  text: 'its text is no record',
  number: 'its number is not that of its text',
  setup: 'its set-up is not the one of that number',
  noRaw: 'its raw lines are gone',
  raw: 'its raw lines are not those it was recorded with',
  readout: 'the readout log holds other entries than it names',
}

function whyColumnsDiffer(row: EvidenceRow, evidence: Omit<Bend, 'previousHash' | 'hash'>) {
  if (evidence.id !== row.id) return ALTERED.number
  const expected = columnsOf(evidence)
  const column = COLUMNS.find((name) => row[name] !== expected[name])
  if (column !== undefined) return `its column ${column} is not that of its text`
  return row.known_setup === setupTextOf(evidence) ? null : ALTERED.setup
}

/** A bend names entries by number and hash: a readout log cut short or written anew shows. */
function namesEntries({ readout }: Pick<Bend, 'readout'>, entryHash: Beside['entryHash']): boolean {
  const named = [readout?.calibration, readout?.axes, readout?.check]
  return named.every((entry) => entry == null || entryHash(entry.number) === entry.hash)
}

function whyTextDiffers(row: EvidenceRow, { packed, entryHash }: Beside): string | null {
  try {
    const evidence = evidenceIn(row.record)
    const why = whyColumnsDiffer(row, evidence)
    if (why !== null) return why
    if (!namesEntries(evidence, entryHash)) return ALTERED.readout
    if (packed === undefined) return ALTERED.noRaw
    const raw = measureRaw(packed)
    const isSame = raw?.sha256 === evidence.rawSha256 && raw.lines === evidence.rawLines
    return isSame ? null : ALTERED.raw
  } catch {
    return ALTERED.text
  }
}

/** What keeps this row from being the next of the chain; null if nothing does. */
function breakAt(row: EvidenceRow, held: Held, beside: Beside): Break | null {
  const id = held.id + 1
  const broken = (why: string): Break => ({ firstBroken: id, why })
  if (row.id < id) return broken(`There is a record with the number ${row.id}.`)
  if (row.id > id) return broken(`Record ${id} is missing: record ${row.id} comes next.`)
  if (!row.previous_hash.equals(held.hash))
    return broken(`Record ${id} does not follow the one before it: altered, moved or put in.`)
  const why = row.hash.equals(nextHash(held.hash, row.record))
    ? whyTextDiffers(row, beside)
    : ALTERED.hash
  return why === null ? null : broken(`Record ${id} was altered: ${why}.`)
}

/** Follows the chain from its first record, moving `held` along. */
function* firstBreak(db: Database, held: Held, anchor?: string): Generator<void, Break | null> {
  const batch = db.prepare<[number], EvidenceRow>(`
    SELECT bend.*, setup.setup AS known_setup
    FROM bend LEFT JOIN setup ON setup.id = bend.setup_id
    WHERE bend.id > ? ORDER BY bend.id LIMIT ${BATCH_ROWS}`)
  const packed = db.prepare<[number], Buffer>('SELECT packed FROM raw WHERE bend_id = ?').pluck()
  const entryHash = makeHashes(db, 'readout_log')
  let rows = batch.all(Number.MIN_SAFE_INTEGER)
  let rawBytes = 0
  while (rows.length > 0) {
    for (const row of rows) {
      const raw = packed.get(row.id)
      const found = breakAt(row, held, { packed: raw, entryHash })
      if (found !== null) return found
      held.id = row.id
      held.hash = row.hash
      held.isAnchored ||= row.hash.toString('hex') === anchor
      rawBytes += raw?.length ?? 0
      if (rawBytes < RAW_BYTES_A_STEP) continue
      rawBytes = 0
      yield
    }
    yield
    rows = batch.all(held.id)
  }
  return orphanedRaw(db, held)
}

/** Raw lines without a record: whoever cut the tail off forgot them. A bend recorded just now has both. */
function orphanedRaw(db: Database, { id }: Held): Break | null {
  // Either end by its key: in one condition they would be looked for among all raw lines there are.
  const orphan = db.prepare<[number], number | null>(`
    SELECT min(bend_id) FROM (SELECT bend_id FROM raw WHERE bend_id < 1
      UNION ALL SELECT bend_id FROM raw WHERE bend_id > ?) AS beyond
    WHERE NOT EXISTS (SELECT 1 FROM bend WHERE bend.id = beyond.bend_id)`)
  const found = orphan.pluck().get(id) ?? null
  if (found === null) return null
  return { firstBroken: id + 1, why: `Record ${id + 1} is missing: raw lines ${found} are there.` }
}

function damageOf(db: Database): Break | null {
  const found = db.pragma('quick_check(1)', { simple: true })
  if (found === 'ok') return null
  return { firstBroken: null, why: `The file is damaged: ${String(found).replace(/\s+/g, ' ')}.` }
}

/** What `work` finds; damage that keeps SQLite from reading on is a finding too. */
function* orDamage(held: Held, work: Generator<void, Break | null>): Generator<void, Break | null> {
  try {
    return yield* work
  } catch (error) {
    if (!isDamage(error)) throw error
    return { firstBroken: held.id + 1, why: `The file is damaged after record ${held.id}.` }
  }
}

function* firstFinding(db: Database, held: Held, options: VerifyOptions) {
  const damage = options.isChainOnly ? null : damageOf(db)
  const broken = yield* firstBreak(db, held, options.anchor)
  return broken ?? damage
}

function recordsIn(db: Database, held: Held): number {
  try {
    return db.prepare<[], number>('SELECT count(*) FROM bend NOT INDEXED').pluck().get() ?? 0
  } catch {
    return held.id
  }
}

const NOT_ANCHORED: Break = {
  firstBroken: null,
  why: 'No record and no entry has the hash given: the end was cut off or the history written anew.',
}

const verifiedOf = ({ entries, firstBroken, head }: VerifiedLog): VerifiedLog => ({
  ...{ entries, firstBroken, head },
})

/**
 * Checks a history record by record and yields now and then, so that whoever runs it can do other things
 * in between. Holds one batch and one bend's raw lines in memory, whatever the history's length.
 *
 * It finds what was altered, removed or moved between the first record and the last. A tail cut off whole,
 * of the bends or of a log, or a history written anew, is found only against its head kept elsewhere: the anchor.
 */
export function* verifySteps(db: Database, options: VerifyOptions = {}): Generator<void, Verified> {
  const held: Held = { id: 0, hash: FIRST_HASH, isAnchored: options.anchor === undefined }
  const found = yield* orDamage(held, firstFinding(db, held, options))
  const readout = yield* verifyLogSteps(db, READOUT_LOG, options.anchor)
  const acts = yield* verifyLogSteps(db, ACT_LOG, options.anchor)
  const chains = yield* verifyLogSteps(db, CHAIN_LOG, options.anchor)
  const people = yield* verifyLogSteps(db, PEOPLE_LOG, options.anchor)
  const exports = yield* verifyLogSteps(db, EXPORT_LOG, options.anchor)
  const logs = [readout, acts, chains, people, exports]
  const isAnchored = [held, ...logs].some((chain) => chain.isAnchored)
  const finding = found ?? (isAnchored ? null : NOT_ANCHORED)
  const whyLogs = logs.find(({ why }) => why !== null)?.why ?? null
  return {
    // Of an intact history those up to the head, though more may have come since.
    records: finding === null ? held.id : recordsIn(db, held),
    intact: finding === null && whyLogs === null,
    firstBroken: finding?.firstBroken ?? null,
    why: finding?.why ?? whyLogs,
    head: held.hash.toString('hex'),
    readout: verifiedOf(readout),
    acts: verifiedOf(acts),
    chains: verifiedOf(chains),
    people: verifiedOf(people),
    exports: verifiedOf(exports),
  }
}

/** The same in one go. */
export const verifyNow = (db: Database, options?: VerifyOptions): Verified =>
  inOneGo(verifySteps(db, options))
