import type { Database } from 'better-sqlite3'
import type { Act, NewAct } from '../messages/acts.ts'
import { type ActRow, actOf, actText, checkAct, refuseAct } from './act-record.ts'
import { FIRST_HASH, nextHash } from './chain-hash.ts'
import type { StoredDecision } from './history.ts'

interface HashedRow {
  readonly id: number
  readonly hash: Buffer
}

/** The log of what people did about bends: numbered, chained, never edited; each act is one transaction. */
export function makeActLog(db: Database) {
  const last = db.prepare<[], HashedRow>('SELECT id, hash FROM act_log ORDER BY id DESC LIMIT 1')
  const bend = db.prepare<[number], HashedRow>('SELECT id, hash FROM bend WHERE id = ?')
  const lastBend = db.prepare<[], HashedRow>('SELECT id, hash FROM bend ORDER BY id DESC LIMIT 1')
  const insert = db.prepare(`
    INSERT INTO act_log (id, kind, bend_id, record, previous_hash, hash)
    VALUES (@id, @kind, @bend_id, @record, @previous_hash, @hash)`)
  const onBend = db.prepare<[number], ActRow>('SELECT * FROM act_log WHERE bend_id = ? ORDER BY id')
  const decided = db.prepare<[], StoredDecision>(`
    SELECT bend_id AS bendId, record ->> '$.decision' AS decision FROM act_log
    WHERE id IN (SELECT max(id) FROM act_log WHERE kind = 'teaching' GROUP BY bend_id)
    ORDER BY bend_id`)
  const named = ({ id, hash }: HashedRow) => ({ number: id, hash: hash.toString('hex') })

  const record = db.transaction((act: NewAct): Act => {
    const { id: lastId, hash: previous_hash } = last.get() ?? { id: 0, hash: FIRST_HASH }
    const [about, after] = [bend.get(act.bendId), lastBend.get()]
    if (!about || !after) return refuseAct(`there is no bend number ${act.bendId}`)
    const id = lastId + 1
    const text = actText({ id, ...act, bend: named(about), after: named(after) })
    const row = { record: text, previous_hash, hash: nextHash(previous_hash, text) }
    insert.run({ id, kind: act.kind, bend_id: act.bendId, ...row })
    return actOf(row)
  })

  return {
    addAct(act: NewAct): Act {
      checkAct(act)
      return record.immediate(act)
    },
    actsOn: (bendId: number): Act[] => onBend.all(bendId).map(actOf),
    decisions: (): StoredDecision[] => decided.all(),
  }
}
