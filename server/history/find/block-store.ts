import type { Database } from 'better-sqlite3'
import { hasTable } from '../has-table.ts'
import {
  BLOCK_BENDS,
  type Block,
  makeBlock,
  packColumns,
  putRow,
  renumber,
  unpackColumns,
} from './block.ts'
import { factsOf, NAMED, type Named } from './facts.ts'
import { makeNamesByField, type NamesByField } from './names.ts'

/** Of the columns' order and meaning: blocks of another format are made anew. */
const FORMAT = 6

interface Kept {
  readonly names: string
  readonly columns: Buffer
}

interface Recorded {
  readonly id: number
  readonly record: string
}

/** Makes the function that reads bends of the evidence itself into a block, after those it holds already. */
export function makeReadInto(db: Database) {
  const rows = db.prepare<[number, number], Recorded>(
    'SELECT id, record FROM bend WHERE id BETWEEN ? AND ? ORDER BY id',
  )
  return function readInto(block: Block, upToId: number, names: NamesByField): void {
    const last = Math.min(upToId, block.first + BLOCK_BENDS - 1)
    for (const { id, record } of rows.iterate(block.first + block.bends, last))
      putRow(block, id - block.first, factsOf(record), names)
    block.bends = last - block.first + 1
  }
}

/** Makes the function that gives block `number` as it was kept; null: it was not, or fits the bends no longer. */
export function makeLoad(db: Database) {
  const kept = hasTable(db, 'find_block')
    ? db.prepare<[number, number, number], Kept>(`
        SELECT names, columns FROM find_block JOIN bend ON bend.id = ? AND bend.hash = last_hash
        WHERE number = ? AND format = ?`)
    : null
  return function load(number: number, names: NamesByField): Block | null {
    const row = kept?.get((number + 1) * BLOCK_BENDS, number, FORMAT)
    const block = row ? unpackColumns(number * BLOCK_BENDS + 1, row.columns) : null
    if (row && block) renumber(block, JSON.parse(row.names) as Record<Named, string[]>, names)
    return block
  }
}

/**
 * Makes the steps that keep every full block of a history, so that a long one is ready to be searched in a fraction
 * of a second. Blocks are derived, no evidence: whatever does not fit the bends is made anew from them.
 */
export function makeKeepBlocks(db: Database) {
  const readInto = makeReadInto(db)
  const lastId = db.prepare<[], number>('SELECT coalesce(max(id), 0) FROM bend').pluck()
  const good = db
    .prepare<[number], number>(`
      SELECT number FROM find_block JOIN bend ON bend.id = (number + 1) * ${BLOCK_BENDS}
        AND bend.hash = last_hash WHERE format = ?`)
    .pluck()
  const keep = db.prepare(`
    INSERT OR REPLACE INTO find_block (number, format, last_hash, names, columns)
    SELECT ?, ${FORMAT}, hash, ?, ? FROM bend WHERE id = ?`)

  function make(number: number): void {
    const names = makeNamesByField()
    const block = makeBlock(number * BLOCK_BENDS + 1)
    readInto(block, Number.MAX_SAFE_INTEGER, names)
    const texts = Object.fromEntries(NAMED.map((field) => [field, names[field].all()]))
    keep.run(number, JSON.stringify(texts), packColumns(block), (number + 1) * BLOCK_BENDS)
  }

  /** One block a step, each whole in the file or not there; gives the number of bends still to do. */
  return function* keepBlocks(): Generator<number, void> {
    const isGood = new Set(good.all(FORMAT))
    const blocks = Math.floor((lastId.get() ?? 0) / BLOCK_BENDS)
    const missing = Array.from({ length: blocks }, (_, i) => i).filter((i) => !isGood.has(i))
    for (const [done, number] of missing.entries()) {
      yield (missing.length - done) * BLOCK_BENDS
      make(number)
    }
  }
}
