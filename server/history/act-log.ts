import type { Database } from 'better-sqlite3'
import type { Act, NewAct } from '../messages/acts.ts'
import { type ActRow, actRecord } from './act-record.ts'
import { hasTable } from './has-table.ts'
import { makeHashedLog } from './hashed-log.ts'
import type { StoredDecision } from './history.ts'
import { VOIDED } from './voided.ts'

interface BendRow {
  readonly id: number
  readonly hash: Buffer
}

/** Makes what reads the acts about a bend, oldest first; a file of an old schema has none. */
export function makeActsOn(db: Database): (bendId: number) => Act[] {
  if (!hasTable(db, 'act_log')) return () => []
  const onBend = db.prepare<[number], ActRow>('SELECT * FROM act_log WHERE bend_id = ? ORDER BY id')
  return (bendId) => onBend.all(bendId).map(actRecord.entryOf)
}

/** The log of what people did about bends: numbered, chained, never edited; each act is one transaction. */
export function makeActLog(db: Database) {
  const append = makeHashedLog(db, 'act_log', ['kind', 'bend_id'])
  const bend = db.prepare<[number], BendRow>('SELECT id, hash FROM bend WHERE id = ?')
  const lastBend = db.prepare<[], BendRow>('SELECT id, hash FROM bend ORDER BY id DESC LIMIT 1')
  const decided = db.prepare<[], StoredDecision>(`
    SELECT bend_id AS bendId, record ->> '$.decision' AS decision FROM act_log
    WHERE id IN (SELECT max(id) FROM act_log WHERE kind = 'teaching' GROUP BY bend_id)
    ORDER BY bend_id`)
  const voided = db.prepare<[], number>(`${VOIDED} ORDER BY bend_id`).pluck()
  const nameOf = ({ id, hash }: BendRow) => ({ number: id, hash: hash.toString('hex') })

  const record = db.transaction((act: NewAct): Act => {
    const [about, after] = [bend.get(act.bendId), lastBend.get()]
    if (!about || !after) return actRecord.refuse(`there is no bend number ${act.bendId}`)
    const named = { bend: nameOf(about), after: nameOf(after) }
    const textOf = (id: number) => actRecord.textOf({ id, ...act, ...named })
    return actRecord.entryOf(append(textOf, { kind: act.kind, bend_id: act.bendId }))
  })

  return {
    addAct(act: NewAct): Act {
      actRecord.check(act)
      return record.immediate(act)
    },
    actsOn: makeActsOn(db),
    decisions: (): StoredDecision[] => decided.all(),
    voided: (): number[] => voided.all(),
  }
}
