import type { Database } from 'better-sqlite3'
import { HistoryError } from './errors.ts'
import type { OpenBend } from './history.ts'

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
  const setOpen = db.prepare('INSERT OR REPLACE INTO open_bend (id, bend) VALUES (1, ?)')
  const getOpen = db.prepare<[], string>('SELECT bend FROM open_bend').pluck()
  const clearOpen = db.prepare('DELETE FROM open_bend')
  const set = db.prepare('INSERT OR REPLACE INTO setting (name, value) VALUES (?, ?)')
  const get = db.prepare<[string], string>('SELECT value FROM setting WHERE name = ?').pluck()
  return {
    openBend: (open: OpenBend): void => void setOpen.run(JSON.stringify(open)),
    closeOpenBend: (): void => void clearOpen.run(),
    leftOpen(): OpenBend | null {
      const text = getOpen.get()
      return text === undefined ? null : (JSON.parse(text) as OpenBend)
    },
    remember: (name: string, value: unknown): void => void set.run(name, settingText(name, value)),
    recall(name: string): unknown {
      const text = get.get(name)
      return text === undefined ? undefined : JSON.parse(text)
    },
  }
}
