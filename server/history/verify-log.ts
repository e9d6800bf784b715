import type { Database } from 'better-sqlite3'
import { FIRST_HASH, nextHash } from './chain-hash.ts'
import { isDamage } from './disk-errors.ts'
import { hasTable } from './has-table.ts'
import type { VerifiedLog } from './history.ts'

/** Entries read in one go. */
const BATCH_ROWS = 200

interface LogRow {
  readonly id: number
  readonly record: string
  readonly previous_hash: Buffer
  readonly hash: Buffer
}

/** A log beside the bends: a table of entries, each hashed over the one before. */
export interface LogKind<Row extends LogRow> {
  readonly table: string
  /** As sentences call it. */
  readonly name: string
  readonly entry: string
  /** Files of an older schema have no such log, and lack nothing. */
  readonly sinceVersion: number
  /** Makes what says how a row departs from its own text, or from what it names. */
  readonly makeJudge: (db: Database) => (row: Row) => string | null
  /** Whether judging a row takes some milliseconds by itself; left out: none does. */
  readonly isLong?: (row: Row) => boolean
}

/** The chain of a log as far as it held, and what is wrong with its next entry. */
type Followed = VerifiedLog & { readonly why: string | null; readonly isAnchored: boolean }

const versionOf = (db: Database) => Number(db.pragma('user_version', { simple: true }))

interface Held {
  id: number
  hash: Buffer
  /** The head written down earlier was met. */
  isAnchored: boolean
}

/** Makes what keeps a row from being the next of the chain; null if nothing does. */
function makeBreakOf<Row extends LogRow>(db: Database, kind: LogKind<Row>) {
  const { name, entry } = kind
  const nameOf = (id: number) => `${entry} ${id} of ${name}`
  const judge = kind.makeJudge(db)
  return (row: Row, { id: lastId, hash: before }: Pick<Held, 'id' | 'hash'>): string | null => {
    const id = lastId + 1
    if (row.id < id)
      return `There is an ${entry.toLowerCase()} with the number ${row.id} in ${name}.`
    if (row.id > id) return `${nameOf(id)} is missing: ${entry.toLowerCase()} ${row.id} comes next.`
    if (!row.previous_hash.equals(before))
      return `${nameOf(id)} does not follow the one before it: altered, moved or put in.`
    const why = row.hash.equals(nextHash(before, row.record))
      ? judge(row)
      : 'its hash is not that of its text'
    return why && `${nameOf(id)} was altered: ${why}.`
  }
}

function* firstBreak<Row extends LogRow>(
  db: Database,
  kind: LogKind<Row>,
  held: Held,
  anchor?: string,
): Generator<void, string | null> {
  const { table, name, sinceVersion } = kind
  if (!hasTable(db, table)) {
    const isGone = versionOf(db) >= sinceVersion
    return isGone ? `${name[0]?.toUpperCase()}${name.slice(1)} is gone.` : null
  }
  const breakOf = makeBreakOf(db, kind)
  const batch = db.prepare<[number], Row>(
    `SELECT * FROM ${table} WHERE id > ? ORDER BY id LIMIT ${BATCH_ROWS}`,
  )
  let rows = batch.all(Number.MIN_SAFE_INTEGER)
  while (rows.length > 0) {
    for (const row of rows) {
      const why = breakOf(row, held)
      if (why !== null) return why
      held.id = row.id
      held.hash = row.hash
      held.isAnchored ||= row.hash.toString('hex') === anchor
      if (kind.isLong?.(row)) yield
    }
    yield
    rows = batch.all(held.id)
  }
  return null
}

/** What `firstBreak` finds; damage that keeps SQLite from reading on is a finding too. */
function* orDamage<Row extends LogRow>(
  db: Database,
  kind: LogKind<Row>,
  held: Held,
  anchor?: string,
): Generator<void, string | null> {
  try {
    return yield* firstBreak(db, kind, held, anchor)
  } catch (error) {
    if (!isDamage(error)) throw error
    return `The file is damaged after ${kind.entry.toLowerCase()} ${held.id} of ${kind.name}.`
  }
}

/** Follows the chain of a log from its first entry, a batch between yields, and looks out for the `anchor`. */
export function* verifyLogSteps<Row extends LogRow>(
  db: Database,
  kind: LogKind<Row>,
  anchor?: string,
): Generator<void, Followed> {
  const held: Held = { id: 0, hash: FIRST_HASH, isAnchored: false }
  const why = yield* orDamage(db, kind, held, anchor)
  return {
    entries: held.id,
    firstBroken: why === null ? null : held.id + 1,
    head: held.hash.toString('hex'),
    why,
    isAnchored: held.isAnchored,
  }
}

/** Looks up the hash of a row; null when there is no such row, or no such table. */
export function makeHashes(db: Database, table: string): (id: number) => string | null {
  if (!hasTable(db, table)) return () => null
  const hash = db.prepare<[number], Buffer>(`SELECT hash FROM ${table} WHERE id = ?`).pluck()
  return (id) => hash.get(id)?.toString('hex') ?? null
}
