import type { Database } from 'better-sqlite3'
import { Compile } from 'typebox/compile'
import { Setup, type StoredSetup } from '../messages/setup.ts'
import { fromCanonical, toCanonical } from './canonical.ts'
import { HistoryError } from './errors.ts'
import { isoWithOffset } from './iso-time.ts'

interface SetupRow {
  readonly id: number
  readonly created_at: string
  readonly setup: string
}

const setupShape = Compile(Setup)

const stored = ({ id, created_at, setup }: SetupRow): StoredSetup => ({
  id,
  createdAt: created_at,
  setup: fromCanonical(setup) as Setup,
})

function canonicalSetup(setup: Setup): string {
  if (!setupShape.Check(setup)) {
    const error = setupShape.Errors(setup).at(-1)
    const what = `${error?.instancePath || 'it'} ${error?.message ?? 'has another shape'}`
    throw new HistoryError('HISTORY_BAD_SETUP', { what })
  }
  try {
    return toCanonical(setup)
  } catch (error) {
    throw new HistoryError('HISTORY_BAD_SETUP', { what: String(error) }, error)
  }
}

/** Set-ups: numbered, never edited. Two are equal if their canonical texts are. */
export function makeSetups(db: Database, wallMs: () => number) {
  const all = db.prepare<[], SetupRow>('SELECT id, created_at, setup FROM setup ORDER BY id DESC')
  const equal = db.prepare<[string], SetupRow>(
    'SELECT id, created_at, setup FROM setup WHERE setup = ?',
  )
  const add = db.prepare<[string, string], SetupRow>(`
    INSERT INTO setup (id, created_at, setup)
    VALUES ((SELECT coalesce(max(id), 0) + 1 FROM setup), ?, ?)
    RETURNING id, created_at, setup`)

  const addOnce = db.transaction((text: string): StoredSetup => {
    const row = equal.get(text) ?? add.get(isoWithOffset(wallMs()), text)
    if (row === undefined) throw new Error('INSERT … RETURNING gave no row')
    return stored(row)
  })
  return {
    addSetup: (setup: Setup): StoredSetup => addOnce.immediate(canonicalSetup(setup)),
    setups: (): StoredSetup[] => all.all().map(stored),
  }
}
