import type { Database } from 'better-sqlite3'
import type { Act } from '../messages/acts.ts'
import { marksOf } from '../messages/bend-standing.ts'
import type { BendMarks } from '../messages/bends.ts'
import { type ActRow, actRecord } from './act-record.ts'

/** Makes the function that says of a few bends what people did about them; bends that nobody touched are left out. */
export function makeMarks(db: Database): (ids: readonly number[]) => Map<number, BendMarks> {
  const onBends = db.prepare<[string], ActRow>(`
    SELECT * FROM act_log WHERE bend_id IN (SELECT value FROM json_each(?)) ORDER BY id`)
  return function marks(ids) {
    const acts = new Map<number, Act[]>()
    for (const row of onBends.all(JSON.stringify(ids))) {
      const before = acts.get(row.bend_id) ?? []
      acts.set(row.bend_id, [...before, actRecord.entryOf(row)])
    }
    return new Map([...acts].map(([id, all]) => [id, marksOf(all)]))
  }
}
