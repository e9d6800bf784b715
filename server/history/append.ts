import type { Database } from 'better-sqlite3'
import type { Bend, NewBend } from '../messages/bends.ts'
import { FIRST_HASH, nextHash } from './chain-hash.ts'
import { HistoryError } from './errors.ts'
import { type History, ONLY_STATION } from './history.ts'
import { type PackedRaw, packRaw } from './raw-text.ts'
import { bendOf, columnsOf, evidenceIn, recordText, setupTextOf } from './record.ts'

interface Last {
  readonly id: number
  readonly hash: Buffer
}

function refuse(what: string): never {
  throw new HistoryError('HISTORY_BAD_BEND', { what })
}

/** Makes the function that records a bend: its row, its raw lines and the end of the open bend, or nothing. */
export function makeAppend(db: Database): History['append'] {
  const last = db.prepare<[], Last>('SELECT id, hash FROM bend ORDER BY id DESC LIMIT 1')
  const setup = db.prepare<[number], string>('SELECT setup FROM setup WHERE id = ?').pluck()
  const insertBend = db.prepare(`
    INSERT INTO bend (id, started_ms, part, lot, operator, verdict, setup_id, learned,
      record, previous_hash, hash)
    VALUES (@id, @started_ms, @part, @lot, @operator, @verdict, @setup_id, @learned,
      @record, @previous_hash, @hash)`)
  const insertRaw = db.prepare('INSERT INTO raw (bend_id, packed) VALUES (?, ?)')
  const closeOpenBend = db.prepare('DELETE FROM open_bend WHERE station = ?')

  function checkSetup(bend: NewBend): void {
    const known = setup.get(bend.setupId)
    if (known === undefined) refuse(`there is no set-up number ${bend.setupId}`)
    if (known !== setupTextOf(bend)) refuse(`set-up number ${bend.setupId} is another one`)
  }

  const record = db.transaction((bend: NewBend, raw: PackedRaw, ends: string | null): Bend => {
    const { id: lastId, hash: previous_hash } = last.get() ?? { id: 0, hash: FIRST_HASH }
    const id = lastId + 1
    const text = recordText(id, bend, raw)
    checkSetup(bend)
    const row = { record: text, previous_hash, hash: nextHash(previous_hash, text) }
    insertBend.run({ id, ...columnsOf(evidenceIn(text)), ...row })
    insertRaw.run(id, raw.packed)
    if (ends !== null) closeOpenBend.run(ends)
    return bendOf(row)
  })

  return (bend, raw, otherIsOpen = false, station = ONLY_STATION) =>
    record.immediate(bend, packRaw(raw), otherIsOpen ? null : station)
}
