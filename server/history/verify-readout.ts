import type { Database } from 'better-sqlite3'
import { FIRST_HASH, nextHash } from './chain-hash.ts'
import { isDamage } from './disk-errors.ts'
import type { Verified } from './history.ts'
import { type ReadoutRow, readoutEvidenceIn } from './readout-record.ts'

/** Entries read in one go. */
const BATCH_ROWS = 200
/** Files of an older schema have no such log, and lack nothing. */
const VERSION_WITH_LOG = 2

/** The chain of the readout log as far as it held, and what is wrong with its next entry. */
type VerifiedReadout = Verified['readout'] & { readonly why: string | null }

const hasLog = (db: Database) =>
  db.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'readout_log'").get() !== undefined

const shouldHaveLog = (db: Database) =>
  Number(db.pragma('user_version', { simple: true })) >= VERSION_WITH_LOG

const nameOf = (id: number) => `Entry ${id} of the readout log`

function whyTextDiffers({ id, kind, station, record }: ReadoutRow): string | null {
  try {
    const evidence = readoutEvidenceIn(record)
    if (evidence.id !== id) return 'its number is not that of its text'
    if (evidence.kind !== kind) return 'its column kind is not that of its text'
    return evidence.station === station ? null : 'its column station is not that of its text'
  } catch {
    return 'its text is no entry'
  }
}

/** What keeps this row from being the next of the chain; null if nothing does. */
function whyBroken(row: ReadoutRow, id: number, before: Buffer): string | null {
  if (row.id < id) return `There is an entry with the number ${row.id} in the readout log.`
  if (row.id > id) return `${nameOf(id)} is missing: entry ${row.id} comes next.`
  if (!row.previous_hash.equals(before))
    return `${nameOf(id)} does not follow the one before it: altered, moved or put in.`
  const why = row.hash.equals(nextHash(before, row.record))
    ? whyTextDiffers(row)
    : 'its hash is not that of its text'
  return why && `${nameOf(id)} was altered: ${why}.`
}

interface Held {
  id: number
  hash: Buffer
}

function* firstBreak(db: Database, held: Held): Generator<void, string | null> {
  if (!hasLog(db)) return shouldHaveLog(db) ? 'The readout log is gone.' : null
  const batch = db.prepare<[number], ReadoutRow>(
    `SELECT * FROM readout_log WHERE id > ? ORDER BY id LIMIT ${BATCH_ROWS}`,
  )
  let rows = batch.all(Number.MIN_SAFE_INTEGER)
  while (rows.length > 0) {
    for (const row of rows) {
      const why = whyBroken(row, held.id + 1, held.hash)
      if (why !== null) return why
      held.id = row.id
      held.hash = row.hash
    }
    yield
    rows = batch.all(held.id)
  }
  return null
}

/** What `firstBreak` finds; damage that keeps SQLite from reading on is a finding too. */
function* orDamage(db: Database, held: Held): Generator<void, string | null> {
  try {
    return yield* firstBreak(db, held)
  } catch (error) {
    if (!isDamage(error)) throw error
    return `The file is damaged after entry ${held.id} of the readout log.`
  }
}

/** Follows the chain of the readout log from its first entry, a batch between yields. */
export function* verifyReadoutSteps(db: Database): Generator<void, VerifiedReadout> {
  const held: Held = { id: 0, hash: FIRST_HASH }
  const why = yield* orDamage(db, held)
  return {
    entries: held.id,
    firstBroken: why === null ? null : held.id + 1,
    head: held.hash.toString('hex'),
    why,
  }
}

/** Looks up the hash of an entry; null when there is no such entry, or no such log. */
export function makeEntryHashes(db: Database): (id: number) => string | null {
  if (!hasLog(db)) return () => null
  const hash = db.prepare<[number], Buffer>('SELECT hash FROM readout_log WHERE id = ?').pluck()
  return (id) => hash.get(id)?.toString('hex') ?? null
}
