import { closeSync, openSync, readSync } from 'node:fs'
import { APPLICATION_ID } from './schema.ts'

/** https://sqlite.org/fileformat.html, 1.3: what stands where in the first hundred bytes. */
const HEAD_BYTES = 100
const MAGIC = 'SQLite format 3\0'
const WRITE_VERSION_AT = 18
const WRITE_VERSION_WAL = 2
const APPLICATION_ID_AT = 68

/** What a file says of itself before any of it is trusted. */
interface FileHead {
  /** It calls itself a bend history. */
  readonly isOurs: boolean
  /** It was opened to be recorded to; a backup is not. */
  readonly isRecordedTo: boolean
}

/** Null: there is no such file, or it is no database. */
export function fileHead(file: string): FileHead | null {
  const head = Buffer.alloc(HEAD_BYTES)
  try {
    const handle = openSync(file, 'r')
    try {
      readSync(handle, head, 0, HEAD_BYTES, 0)
    } finally {
      closeSync(handle)
    }
  } catch {
    return null
  }
  if (head.toString('latin1', 0, MAGIC.length) !== MAGIC) return null
  return {
    isOurs: head.readUInt32BE(APPLICATION_ID_AT) === APPLICATION_ID,
    isRecordedTo: head[WRITE_VERSION_AT] === WRITE_VERSION_WAL,
  }
}
