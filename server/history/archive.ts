import { chmodSync, mkdirSync, readdirSync, rmSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import type { Database } from 'better-sqlite3'
import type { KnownBy } from '../messages/act-kinds/act-kind.ts'
import type { ArchiveAsk, Archived } from '../messages/archives.ts'
import { archiveNote } from './archive-note.ts'
import { proveIntact } from './backup.ts'
import { connectReader } from './connect.ts'
import { naming } from './disk-errors.ts'
import { HistoryError } from './errors.ts'
import { exists, folderFiles } from './folder.ts'
import type { History } from './history.ts'
import { isoWithOffset, typedMs } from './iso-time.ts'
import { openHistory } from './open.ts'
import { historyFileIn, verifyFolder } from './reader.ts'
import { ACT_LOG } from './verify-acts.ts'
import { makeHashes } from './verify-log.ts'

const READ_ONLY = 0o444

export interface ArchiveOrder extends ArchiveAsk {
  /** How it is known who archives; left out: typed. */
  readonly whoKnownBy?: KnownBy
  readonly software: string
  /** The file to write; left out: one of that day in the folder's own `archive`. */
  readonly toFile?: string | undefined
  readonly wallMs?: () => number
}

/** Files that are being made: each daemon is asked by several people. */
const underWay = new Set<string>()

function checkDay(before: string, nowMs: number): void {
  const beforeMs = typedMs(before)
  const refuse = (what: string) => new HistoryError('HISTORY_BAD_QUERY', { what })
  if (beforeMs === null) throw refuse(`before must be a day or a time (ISO 8601), got "${before}"`)
  if (beforeMs > nowMs) throw refuse(`${before} is still to come, and so may be records before it`)
}

/** The last record that was started before the day, and how many there are. */
function recordsBefore(history: Pick<History, 'page'>, before: string) {
  const { bends, total } = history.page({ to: before, limit: 1 })
  const [last] = bends
  if (last === undefined) throw new HistoryError('HISTORY_NOTHING_BEFORE', { what: before })
  return { last: last.id, count: total }
}

/**
 * Writes an archive: a complete, checked copy of the history, marked read-only, and a note about it in the log of
 * acts, at the last record of the years that are over. The history itself keeps every record, and may record on
 * meanwhile.
 *
 * @throws HistoryError `HISTORY_BAD_QUERY` for the day, `HISTORY_TAKEN`, `HISTORY_BAD_ACT` for the name, and as a
 *   backup.
 */
export async function archiveFrom(
  history: Pick<History, 'page' | 'backup' | 'bend' | 'addAct'>,
  dataDir: string,
  order: ArchiveOrder,
): Promise<Archived> {
  const { before, wallMs = Date.now } = order
  checkDay(before, wallMs())
  const file =
    order.toFile ?? join(folderFiles(dataDir).archive, `before-${before.slice(0, 10)}.sqlite`)
  if (exists(file) || underWay.has(file)) throw new HistoryError('HISTORY_TAKEN', { at: file })
  const found = recordsBefore(history, before)
  underWay.add(file)
  try {
    if (order.toFile === undefined)
      naming(file, () => mkdirSync(dirname(file), { recursive: true }))
    return await writeArchive(history, file, order, found)
  } finally {
    underWay.delete(file)
  }
}

/** Copies and notes, or leaves neither. */
async function writeArchive(
  history: Pick<History, 'backup' | 'bend' | 'addAct'>,
  file: string,
  { before, who, whoKnownBy = 'typed', software, wallMs = Date.now }: ArchiveOrder,
  { last, count }: ReturnType<typeof recordsBefore>,
): Promise<Archived> {
  const copied = await history.backup(file)
  const head = history.bend(copied.records)?.hash ?? ''
  try {
    naming(file, () => chmodSync(file, READ_ONLY))
    const act = history.addAct({
      ...{ kind: 'note', schema: 1, at: isoWithOffset(wallMs()), who, whoKnownBy },
      bendId: last,
      text: archiveNote({ name: basename(file), ...copied, count, before, head }),
      software,
    })
    return { ...copied, file, recordsBefore: count, head, act: act.id }
  } catch (error) {
    // An archive that nobody noted would stand in the way of the next try.
    rmSync(file, { force: true })
    throw error
  }
}

/**
 * The same for a folder that no daemon uses.
 *
 * @throws HistoryError as `archiveFrom`, and `HISTORY_IN_USE`.
 */
export async function makeArchive(dataDir: string, order: ArchiveOrder): Promise<Archived> {
  historyFileIn(dataDir)
  const history = openHistory(dataDir)
  try {
    return await archiveFrom(history, dataDir, order)
  } finally {
    history.close()
  }
}

export interface CheckedArchive {
  readonly file: string
  readonly records: number
  readonly intact: boolean
  /** What is wrong with it: null if it is intact, the history goes on from it, and it is noted. */
  readonly why: string | null
  /** The note about it in the log of acts; null: there is none about this very file. */
  readonly act: number | null
}

/** Every archive in the folder itself. */
export function archivesIn(dataDir: string): string[] {
  const { archive } = folderFiles(dataDir)
  if (!exists(archive)) return []
  const names = naming(archive, () => readdirSync(archive))
  return names.filter((name) => name.endsWith('.sqlite')).map((name) => join(archive, name))
}

/** The note that names the file by its hash. A history of an older schema has no log of acts. */
function noteAbout(db: Database, sha256: string): number | null {
  if (Number(db.pragma('user_version', { simple: true })) < ACT_LOG.sinceVersion) return null
  const noted = db.prepare<[string], number>(
    "SELECT id FROM act_log WHERE kind = 'note' AND instr(record, ?) > 0",
  )
  return noted.pluck().get(sha256) ?? null
}

/**
 * Checks an archive record by record, and that the history goes on from its last one.
 *
 * @throws HistoryError as a history that is opened to read.
 */
export async function checkArchive(dataDir: string, file: string): Promise<CheckedArchive> {
  const { records, intact, why, head } = verifyFolder(file)
  if (!intact) return { file, records, intact, why, act: null }
  const { sha256 } = await proveIntact(file, file)
  const db = connectReader(historyFileIn(dataDir))
  try {
    const isOurs = records === 0 || makeHashes(db, 'bend')(records) === head
    const act = noteAbout(db, sha256)
    const whyNot = !isOurs
      ? 'The history does not go on from it: it is of another one, or one of the two was written anew.'
      : act === null
        ? 'No note in the log of acts is about this file.'
        : null
    return { file, records, intact, why: whyNot, act }
  } finally {
    db.close()
  }
}
