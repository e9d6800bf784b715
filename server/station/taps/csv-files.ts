import { constants } from 'node:fs'
import { type FileHandle, mkdir, open, readdir } from 'node:fs/promises'
import { join } from 'node:path'
import { ROW_END } from './csv-row.ts'
import { NotLetOut } from './tap.ts'

interface CsvFilesParts {
  readonly folder: string
  /** Checked by the block's schema: letters, digits and dashes, no path. */
  readonly name: string
  readonly header: string
  readonly bytesMax: number
  readonly filesMax: number
}

const DIGITS = 4
const NUMBER_MAX = 9999
/** A link in place of a file is not followed: what is written stays in the folder. */
const APPEND = constants.O_RDWR | constants.O_NOFOLLOW
const CREATE = APPEND | constants.O_CREAT | constants.O_EXCL

const WHY: Readonly<Record<string, string>> = {
  EROFS: 'the disk is read-only',
  EACCES: 'this user may not write there',
  EPERM: 'this user may not write there',
  ENOSPC: 'the disk is full',
  EDQUOT: 'the disk is full for this user',
  EEXIST: 'a file stands in its place',
  ENOTDIR: 'a file stands in its place',
  ELOOP: 'a link stands in its place',
  EISDIR: 'a folder stands in its place',
}

function explain(error: unknown, folder: string): NotLetOut {
  if (error instanceof NotLetOut) return error
  const { code = '', message } = error as NodeJS.ErrnoException
  return new NotLetOut(`Nothing can be written into ${folder}: ${WHY[code] ?? message}.`)
}

/** Writes all of it at a place, or cuts the file off there again: no half a row is left. */
async function writeAt(file: FileHandle, text: string, at: number): Promise<void> {
  const bytes = Buffer.from(text)
  try {
    for (let done = 0; done < bytes.length; ) {
      const { bytesWritten } = await file.write(bytes, done, bytes.length - done, at + done)
      if (bytesWritten === 0) throw new Error('the disk took nothing')
      done += bytesWritten
    }
  } catch (error) {
    await file.truncate(at).catch(() => undefined)
    throw error
  }
}

async function textAt(file: FileHandle, at: number, length: number): Promise<string> {
  const { buffer, bytesRead } = await file.read(Buffer.alloc(length), 0, length, at)
  return buffer.subarray(0, bytesRead).toString()
}

/**
 * Files `name-0001.csv`, `name-0002.csv` … of bounded size in one folder. A file of other columns, or one that a
 * power cut left with half a row, is let be: the next one begins. Nothing is overwritten or deleted.
 *
 * @returns what appends whole rows. It throws NotLetOut when the disk refuses, or all files are full.
 */
export function makeCsvFiles(parts: CsvFilesParts): (rows: string) => Promise<void> {
  const { folder, name, header, bytesMax, filesMax } = parts
  const pattern = new RegExp(`^${name}-(\\d{${DIGITS}})\\.csv$`)
  const pathOf = (number: number) =>
    join(folder, `${name}-${String(number).padStart(DIGITS, '0')}.csv`)

  async function numbers(): Promise<number[]> {
    await mkdir(folder, { recursive: true })
    const found = (await readdir(folder)).flatMap((file) => pattern.exec(file)?.[1] ?? [])
    return found.map(Number).sort((one, other) => one - other)
  }

  /** @returns whether the rows went into the file: there was room, and it holds the same columns. */
  async function append(path: string, rows: string): Promise<boolean> {
    const file = await open(path, APPEND)
    try {
      const { size } = await file.stat()
      if (size + Buffer.byteLength(rows) > bytesMax) return false
      const isOurs =
        (await textAt(file, 0, Buffer.byteLength(header))) === header &&
        (await textAt(file, size - ROW_END.length, ROW_END.length)) === ROW_END
      if (isOurs) await writeAt(file, rows, size)
      return isOurs
    } finally {
      await file.close()
    }
  }

  async function begin(path: string, rows: string): Promise<void> {
    const file = await open(path, CREATE, 0o644)
    try {
      await writeAt(file, header + rows, 0)
    } finally {
      await file.close()
    }
  }

  return async function write(rows) {
    try {
      const taken = await numbers()
      const last = taken.at(-1) ?? 0
      if (last > 0 && (await append(pathOf(last), rows))) return
      if (taken.length >= filesMax || last >= NUMBER_MAX)
        throw new NotLetOut(
          `All ${taken.length} files of "${name}" in ${folder} are full: move some away, or raise filesMax.`,
        )
      await begin(pathOf(last + 1), rows)
    } catch (error) {
      throw explain(error, folder)
    }
  }
}
