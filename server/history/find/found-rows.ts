import type { Database } from 'better-sqlite3'
import type { FoundRow } from '../../messages/find.ts'
import { makeMarks } from '../marks.ts'
import { listRowOf } from '../record.ts'
import { BLOCK_BENDS } from './block.ts'
import { MARK } from './facts.ts'
import type { FindIndex } from './index.ts'

/** Makes the function that gives the rows of one page from their numbers. */
export function makeFoundRows(db: Database) {
  const record = db.prepare<[number], string>('SELECT record FROM bend WHERE id = ?').pluck()
  const marksOf = makeMarks(db)

  return function foundRows({ blocks, setBackS }: FindIndex, ids: readonly number[]): FoundRow[] {
    const done = marksOf(ids)
    return ids.map((id) => {
      const at = (id - 1) % BLOCK_BENDS
      const bits = blocks[Math.floor((id - 1) / BLOCK_BENDS)]?.marks[at] ?? 0
      const [marks, backS] = [done.get(id), setBackS(id)]
      return {
        ...listRowOf(record.get(id) ?? ''),
        ...(marks && { marks }),
        ...((bits & MARK.noted) !== 0 && { isNoted: true as const }),
        ...((bits & MARK.due) !== 0 && { isDue: true as const }),
        ...(backS !== undefined && { setBackS: backS }),
      }
    })
  }
}
