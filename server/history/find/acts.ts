import type { Database } from 'better-sqlite3'
import { ACT_KINDS } from '../../messages/acts.ts'
import { ARCHIVE_NOTE } from '../archive-note.ts'
import { inBatches } from '../batches.ts'
import { hasTable } from '../has-table.ts'
import { MARK } from './facts.ts'

const BATCH_ROWS = 2000

/** Fields of a bend that an amendment may change and that are looked for. */
const AMENDABLE = ['part', 'lot', 'operator', 'piece'] as const
export type Amendable = (typeof AMENDABLE)[number]

/** What an act says of a bend, as far as it is looked for. */
export interface FoundAct {
  readonly id: number
  readonly bendId: number
  readonly sets: number
  readonly clears: number
  /** The field that it amended, with its new value. */
  readonly amended: { readonly field: Amendable; readonly to: string } | null
  /** When a person wrote this note, milliseconds since 1970; null: it is none. */
  readonly saidMs: number | null
}

interface Row {
  readonly id: number
  readonly kind: string
  readonly bendId: number
  readonly field: string | null
  readonly to: string | number | null
  readonly at: string | null
}

const SETS: Readonly<Record<string, number>> = {
  amendment: MARK.amended,
  void: MARK.void,
  signature: MARK.signed,
  note: MARK.noted,
  inspection: MARK.inspected,
}

/** What was signed counts only as long as it stands as it was signed. */
const CLEARS: Readonly<Record<string, number>> = Object.fromEntries(
  ACT_KINDS.map(({ kind, unsigns }) => [
    kind,
    (unsigns ? MARK.signed : 0) | (kind === 'reinstated' ? MARK.void : 0),
  ]),
)

const isAmendable = (field: string | null): field is Amendable =>
  (AMENDABLE as readonly (string | null)[]).includes(field)

function foundActOf({ id, kind, bendId, field, to, at }: Row): FoundAct {
  const amended = isAmendable(field) && to !== null ? { field, to: String(to) } : null
  return {
    id,
    bendId,
    sets: SETS[kind] ?? 0,
    clears: CLEARS[kind] ?? 0,
    amended,
    saidMs: at === null ? null : Date.parse(at),
  }
}

/** Makes the function that gives the acts after a number, oldest first. A file of an old schema has none. */
export function makeActsAfter(db: Database): (afterId: number) => Iterable<FoundAct> {
  if (!hasTable(db, 'act_log')) return () => []
  const batch = db.prepare<[number], Row>(`
    SELECT id, kind, bend_id AS bendId,
      CASE kind WHEN 'amendment' THEN record ->> '$.field' END AS field,
      CASE kind WHEN 'amendment' THEN record ->> '$.to' END AS "to",
      CASE WHEN kind = 'note' AND json_valid(record) THEN
        CASE WHEN NOT record ->> '$.text' GLOB '${ARCHIVE_NOTE}' THEN record ->> '$.at' END
        END AS at
    FROM act_log WHERE id > ? ORDER BY id LIMIT ${BATCH_ROWS}`)
  return function* actsAfter(afterId) {
    let id = afterId
    const rows = inBatches((lastId) => {
      id = Math.max(id, lastId)
      return batch.all(id)
    }, BATCH_ROWS)
    for (const row of rows) yield foundActOf(row)
  }
}

interface Logged {
  readonly id: number
  readonly bendId: number
  readonly record: string
}

/** Of an act, what a person wrote. */
const WRITTEN = ['reason', 'text', 'meaning', 'from', 'to', 'who'] as const

/** As it is compared: letters that look alike are alike, and capitals do not matter. */
export const folded = (text: string) => text.normalize('NFKC').toLowerCase()

type Written = Readonly<Record<string, unknown>>

/** What is no act any more says nothing; that it is damaged is for `verify` to tell. */
function actIn(record: string): Written {
  try {
    return Object(JSON.parse(record)) as Written
  } catch {
    return {}
  }
}

/** What a person wrote in an act, a line each, folded. */
function writtenIn(record: string): string {
  const act = actIn(record)
  const texts = WRITTEN.map((name) => act[name]).filter((value) => typeof value === 'string')
  return folded(texts.join('\n'))
}

/** Words whose bends are kept in mind: a byte a bend each. */
const KNOWN_MAX = 16

/** At the number of a bend 1: it is one of them. Shorter than the history where the later ones are none. */
export type SomeBends = Uint8Array

/**
 * Makes the function that finds the bends to which somebody wrote these words, already folded. What was written is kept
 * in memory from the first time on: a hundred thousand acts would else be read again for each word.
 */
export function makeBendsSaid(db: Database): (words: string) => SomeBends {
  if (!hasTable(db, 'act_log')) return () => new Uint8Array()
  const after = db.prepare<[number], Logged>(
    'SELECT id, bend_id AS bendId, record FROM act_log WHERE id > ? ORDER BY id',
  )
  const said: { readonly bendId: number; readonly text: string }[] = []
  const known = new Map<string, SomeBends>()
  let [lastId, lastBend] = [0, 0]

  function readOn(): void {
    for (const { id, bendId, record } of after.iterate(lastId)) {
      said.push({ bendId, text: writtenIn(record) })
      lastId = id
      lastBend = Math.max(lastBend, bendId)
      known.clear()
    }
  }

  return function bendsSaid(words) {
    readOn()
    const before = known.get(words)
    if (before !== undefined) return before
    const found = new Uint8Array(lastBend + 1)
    for (const { bendId, text } of said) if (text.includes(words)) found[bendId] = 1
    // The next page, the summary and the charts of a search ask for the same words.
    if (known.size >= KNOWN_MAX) known.clear()
    known.set(words, found)
    return found
  }
}
