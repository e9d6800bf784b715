import { createHash } from 'node:crypto'
import type { Database } from 'better-sqlite3'
import canonicalize from 'canonicalize'
import type { BendFilter } from '../messages/find.ts'
import { FIRST_HASH } from './chain-hash.ts'
import { connectReader } from './connect.ts'
import { naming } from './disk-errors.ts'
import { hasTable } from './has-table.ts'
import type { HashedRow } from './hashed-log.ts'
import type { SigningKey } from './key.ts'
import { historyFileIn } from './reader.ts'
import { bendsThatFit } from './reading.ts'
import { SIGNED_FORMAT, SIGNED_VERSION, type SignedEnd } from './signed-lines.ts'

interface Head {
  readonly id: number
  readonly hash: Buffer
}

const CHAINS = {
  bends: 'bend',
  readout: 'readout_log',
  acts: 'act_log',
  chains: 'chain_log',
  people: 'people_log',
  exports: 'export_log',
} as const

/** Number and hash of the last entry of each chain. */
function headsIn(db: Database): SignedEnd['heads'] {
  const headOf = (table: string) => {
    if (!hasTable(db, table)) return { count: 0, head: FIRST_HASH.toString('hex') }
    const sql = `SELECT id, hash FROM ${table} ORDER BY id DESC LIMIT 1`
    const { id, hash } = db.prepare<[], Head>(sql).get() ?? { id: 0, hash: FIRST_HASH }
    return { count: id, head: hash.toString('hex') }
  }
  return Object.fromEntries(
    Object.entries(CHAINS).map(([name, table]) => [name, headOf(table)]),
  ) as SignedEnd['heads']
}

const lineOf = (value: object) => `${canonicalize(value)}\n`

/** The record as it is hashed, so that its hash can be made anew by whoever has the file alone. */
const entryOf = ({ record, previous_hash, hash }: HashedRow) => ({
  record: JSON.parse(record) as object,
  previousHash: previous_hash.toString('hex'),
  hash: hash.toString('hex'),
})

interface Ask {
  readonly filter: BendFilter
  readonly key: SigningKey
  /** ISO 8601 with offset. */
  readonly at: string
  readonly software: string
}

function* linesOf(db: Database, { filter, key, at, software }: Ask): Generator<string> {
  const digest = createHash('sha256')
  const counts = { bends: 0, acts: 0 }
  const signed = (value: object) => {
    const line = lineOf(value)
    digest.update(line, 'utf8')
    return line
  }
  const bendRow = db.prepare<[number], HashedRow>('SELECT * FROM bend WHERE id = ?')
  const actsOn = 'SELECT * FROM act_log WHERE bend_id = ? ORDER BY id'
  const acts = hasTable(db, 'act_log') ? db.prepare<[number], HashedRow>(actsOn) : null
  yield signed({ format: SIGNED_FORMAT, version: SIGNED_VERSION, at, software, filter })
  for (const { id } of bendsThatFit(db, filter)) {
    const row = bendRow.get(id)
    if (row === undefined) continue
    counts.bends += 1
    yield signed({ bend: entryOf(row) })
    for (const act of acts?.all(id) ?? []) {
      counts.acts += 1
      yield signed({ act: entryOf(act) })
    }
  }
  const end = { ...counts, heads: headsIn(db), sha256: digest.digest('hex') }
  const { fingerprint } = key
  const text = canonicalize({ ...end, fingerprint }) ?? ''
  yield lineOf({ end: { ...end, fingerprint, signature: key.sign(text) } })
}

/**
 * A selection of bends with every act about them, signed: a JSON document a line, in constant memory. Bends, acts
 * and heads are of one moment, whatever the daemon records meanwhile.
 *
 * @throws HistoryError as `openReader`; `HISTORY_BAD_QUERY` when walked.
 */
export function* signedLines(dataDir: string, ask: Ask): Generator<string> {
  const file = historyFileIn(dataDir)
  const db = connectReader(file)
  try {
    db.exec('BEGIN')
    const lines = linesOf(db, ask)
    const next = () => naming(file, () => lines.next())
    for (let step = next(); !step.done; step = next()) yield step.value
  } finally {
    db.close()
  }
}
