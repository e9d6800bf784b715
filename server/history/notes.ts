import type { Database } from 'better-sqlite3'
import { HistoryError } from './errors.ts'
import { ONLY_STATION, type OpenBend } from './history.ts'

const NAME_CHARS_MAX = 80
/** Settings are small by intent: what is large belongs into a table of its own. */
const VALUE_CHARS_MAX = 64 * 1024

function refuse(what: string): never {
  throw new HistoryError('HISTORY_BAD_SETTING', { what })
}

function settingText(name: string, value: unknown): string {
  if (!(name.length >= 1 && name.length <= NAME_CHARS_MAX))
    refuse(`its name must have 1 to ${NAME_CHARS_MAX} characters`)
  const text = JSON.stringify(value)
  if (text === undefined) refuse(`${name} is nothing that JSON can hold`)
  if (text.length > VALUE_CHARS_MAX) refuse(`${name} has more than ${VALUE_CHARS_MAX} characters`)
  return text
}

/** What is no evidence and may change: the bend in hand, and small settings. */
export function makeNotes(db: Database) {
  const setOpen = db.prepare('INSERT OR REPLACE INTO open_bend (station, bend) VALUES (?, ?)')
  const getOpen = db
    .prepare<[string], string>('SELECT bend FROM open_bend WHERE station = ?')
    .pluck()
  const clearOpen = db.prepare('DELETE FROM open_bend WHERE station = ?')
  const whereOpen = db.prepare<[], string>('SELECT station FROM open_bend ORDER BY station').pluck()
  const set = db.prepare('INSERT OR REPLACE INTO setting (name, value) VALUES (?, ?)')
  const get = db.prepare<[string], string>('SELECT value FROM setting WHERE name = ?').pluck()
  return {
    openBend: (open: OpenBend, station = ONLY_STATION): void =>
      void setOpen.run(station, JSON.stringify(open)),
    closeOpenBend: (station = ONLY_STATION): void => void clearOpen.run(station),
    leftOpenAt: (): string[] => whereOpen.all(),
    leftOpen(station = ONLY_STATION): OpenBend | null {
      const text = getOpen.get(station)
      return text === undefined ? null : (JSON.parse(text) as OpenBend)
    },
    remember: (name: string, value: unknown): void => void set.run(name, settingText(name, value)),
    recall(name: string): unknown {
      const text = get.get(name)
      return text === undefined ? undefined : JSON.parse(text)
    },
  }
}
