import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { makeAppend } from '../../server/history/append.ts'
import { toCanonical } from '../../server/history/canonical.ts'
import { makeHashedLog } from '../../server/history/hashed-log.ts'
import { VERDICTS } from '../../server/messages/bends.ts'
import { newBend, openShop } from '../unit/server/history/shop.ts'

const RAW = { chain: 'c', snapshot: '{}', lines: [] }

/** Eight bends in ten are in tolerance, one in a hundred is incomplete. */
function verdictOf(n: number) {
  if (n % 100 === 0) return VERDICTS[3]
  return VERDICTS[n % 10 === 1 ? 1 : n % 10 === 2 ? 2 : 0]
}

/** Spread over ± half a degree, without a pattern that a rule would find. */
const offDeg = (n: number) => ((n * 7919) % 997) / 997 - 0.5

/** The `n`th bend of a long history: 200 parts, seven people. */
function longBend(n: number) {
  const bend = newBend(n, { verdict: verdictOf(n), releasedDeg: 90 + offDeg(n) })
  const piece = (n % 1_000_000) + 1
  const job = { ...bend.job, part: `Part ${n % 200}`, piece, operator: `Operator ${n % 7}` }
  return { ...bend, job }
}

/** So many are written by the code that appends; the rest are copies with numbers and times of their own. */
const APPENDED = 10_000
const APART_MS = 20_000

/** Of what a person did about every tenth bend: a signature, and to every third of them a note. */
const DONE_EVERY = 10

/** Acts as many as a tenth of the bends, written by the code that appends. */
export function addActs(db: Database.Database, bends: number): number {
  const append = makeHashedLog(db, 'act_log', ['kind', 'bend_id'])
  const every = { schema: 1, whoKnownBy: 'session', software: '0.1.0' }
  const acts = Math.floor(bends / DONE_EVERY)
  db.transaction(() => {
    for (let n = 1; n <= acts; n += 1) {
      const kind = n % 3 === 0 ? 'note' : 'signature'
      const said =
        kind === 'note'
          ? { text: `Angle finder ${n}: the tube was stiff, let it be` }
          : { role: 'signed', meaning: 'Reviewed and found right' }
      const at = new Date(Date.UTC(2027, 0, 1) + n * APART_MS).toISOString()
      const act = { ...every, ...said, kind, at, who: `Reviewer ${n % 5}` }
      append((id) => toCanonical({ id, ...act }), { kind, bend_id: n * DONE_EVERY })
    }
  })()
  return acts
}

export interface LongHistory {
  /** Its folder. */
  readonly dir: string
  readonly db: Database.Database
  readonly appendedPerS: number
  remove(): void
}

/** Copies have no chain of their own: what is measured with them is the list, not the check. */
function copyUpTo(db: Database.Database, bends: number): void {
  const copy = db.prepare(`
    INSERT INTO bend
    SELECT id + :shift, started_ms + :shift * ${APART_MS}, part, lot, operator, verdict, setup_id,
      learned, json_set(record, '$.id', id + :shift, '$.startedAt', strftime('%Y-%m-%dT%H:%M:%fZ',
        (started_ms + :shift * ${APART_MS}) / 1000.0, 'unixepoch')), previous_hash, hash
    FROM bend WHERE id <= :last ORDER BY id`)
  for (let shift = APPENDED; shift < bends; shift += APPENDED)
    copy.run({ shift, last: Math.min(APPENDED, bends - shift) })
}

/** A history of so many bends in a folder of its own, in one transaction, without waiting for the disk. */
export function makeLongHistory(bends: number): LongHistory {
  const dir = mkdtempSync(join(tmpdir(), 'overbend-long-'))
  openShop(dir).close()
  const db = new Database(join(dir, 'overbend.sqlite'))
  db.pragma('synchronous = OFF')
  const append = makeAppend(db)
  const appended = Math.min(APPENDED, bends)
  const began = performance.now()
  db.transaction(() => {
    for (let n = 1; n <= appended; n += 1) append(longBend(n), RAW)
  })()
  const appendedPerS = Math.round((appended * 1000) / (performance.now() - began))
  db.transaction(() => copyUpTo(db, bends))()
  db.pragma('wal_checkpoint(TRUNCATE)')
  return {
    dir,
    db,
    appendedPerS,
    remove() {
      db.close()
      rmSync(dir, { recursive: true })
    },
  }
}
