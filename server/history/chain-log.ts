import type { Database } from 'better-sqlite3'
import type { ChainRevision, NewChainRevision } from '../messages/chain.ts'
import { type ChainRow, chainRecord } from './chain-record.ts'
import { makeHashedLog } from './hashed-log.ts'

/** The log of revisions of the chain: numbered, chained, never edited; each is one transaction. */
export function makeChainLog(db: Database) {
  const append = makeHashedLog(db, 'chain_log', ['name', 'revision'])
  const lastOf = db
    .prepare<[string], number>('SELECT coalesce(max(revision), 1) FROM chain_log WHERE name = ?')
    .pluck()
  const newest = db.prepare<[string], ChainRow>(
    'SELECT * FROM chain_log WHERE name = ? ORDER BY revision DESC LIMIT 1',
  )
  const one = db.prepare<[number], ChainRow>('SELECT * FROM chain_log WHERE id = ?')
  const all = db.prepare<[string, number], ChainRow>(
    'SELECT * FROM chain_log WHERE name = ? ORDER BY revision DESC LIMIT ?',
  )

  const record = db.transaction((given: NewChainRevision): ChainRevision => {
    const revision = (lastOf.get(given.name) ?? 1) + 1
    const textOf = (id: number) => chainRecord.textOf({ id, ...given, revision })
    return chainRecord.entryOf(append(textOf, { name: given.name, revision }))
  })

  return {
    addChainRevision(given: NewChainRevision): ChainRevision {
      chainRecord.check(given)
      return record.immediate(given)
    },
    chainRevision(id: number): ChainRevision | null {
      const row = one.get(id)
      return row === undefined ? null : chainRecord.entryOf(row)
    },
    newestChain(name: string): ChainRevision | null {
      const row = newest.get(name)
      return row === undefined ? null : chainRecord.entryOf(row)
    },
    chainRevisions: (name: string, limit: number): ChainRevision[] =>
      all.all(name, limit).map(chainRecord.entryOf),
  }
}
