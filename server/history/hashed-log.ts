import type { Database } from 'better-sqlite3'
import { FIRST_HASH, nextHash } from './chain-hash.ts'

interface Last {
  readonly id: number
  readonly hash: Buffer
}

/** An entry as it was put into a log. */
export interface HashedRow {
  readonly record: string
  readonly previous_hash: Buffer
  readonly hash: Buffer
}

/**
 * A log beside the bends: numbered from 1, each entry hashed over the one before, never edited.
 *
 * @param columns What is filtered by, repeated beside the text.
 * @returns Puts an entry in; to be called within a transaction. `textOf` makes its canonical text from its number.
 */
export function makeHashedLog<C extends string>(
  db: Database,
  table: string,
  columns: readonly C[],
): (textOf: (id: number) => string, beside: Readonly<Record<C, string | number>>) => HashedRow {
  const last = db.prepare<[], Last>(`SELECT id, hash FROM ${table} ORDER BY id DESC LIMIT 1`)
  const names = ['id', ...columns, 'record', 'previous_hash', 'hash']
  const insert = db.prepare(
    `INSERT INTO ${table} (${names.join(', ')}) VALUES (${names.map((name) => `@${name}`).join(', ')})`,
  )
  return (textOf, beside) => {
    const { id: lastId, hash: previous_hash } = last.get() ?? { id: 0, hash: FIRST_HASH }
    const id = lastId + 1
    const record = textOf(id)
    const row = { record, previous_hash, hash: nextHash(previous_hash, record) }
    insert.run({ id, ...beside, ...row })
    return row
  }
}
