import { appendFileSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

/** Of an SQLite file as the history makes it. */
const PAGE_BYTES = 8192
/** https://sqlite.org/walformat.html: the log's header, and the header of each frame before its page. */
const LOG_HEADER_BYTES = 32
const FRAME_HEADER_BYTES = 24
const FRAME_BYTES = FRAME_HEADER_BYTES + PAGE_BYTES
/** The least that a disk writes whole. */
const SECTOR_BYTES = 512

const NAME = 'overbend.sqlite'

/** The files of a history at one moment, while nobody writes. */
export interface Moment {
  readonly main: Buffer
  readonly log: Buffer
  readonly index: Buffer
}

const read = (file: string): Buffer => {
  try {
    return readFileSync(file)
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return Buffer.alloc(0)
    throw error
  }
}

/** Two numbers drawn anew each time that the log is begun from its start, and kept by each frame since. */
const generationOf = (log: Buffer) => log.subarray(16, 24)
const isFrameOf = (log: Buffer, at: number) =>
  log.subarray(at + 8, at + 16).equals(generationOf(log)) && at + FRAME_BYTES <= log.length

/** A log that is begun anew keeps its length; of what is left of older generations some frames are enough. */
function untilStale(log: Buffer): Buffer {
  let end = LOG_HEADER_BYTES
  while (isFrameOf(log, end)) end += FRAME_BYTES
  return log.subarray(0, end + 3 * FRAME_BYTES)
}

/** The writer stands still meanwhile: read one after the other from a running one no crash could leave them so. */
export const momentOf = (dir: string): Moment => ({
  main: read(join(dir, NAME)),
  log: untilStale(read(join(dir, `${NAME}-wal`))),
  index: read(join(dir, `${NAME}-shm`)),
})

/**
 * Bytes of the log that were on the disk for certain. The index names a frame only after the log was flushed
 * (mxFrame at 16, the generation at 32 of the index, same source); an index of another generation names none.
 */
function flushedBytes({ log, index }: Moment): number {
  if (index.length < 48 || log.length === 0) return 0
  if (!index.subarray(32, 40).equals(generationOf(log))) return 0
  return LOG_HEADER_BYTES + index.readUInt32LE(16) * FRAME_BYTES
}

/** Frames stand behind what was flushed. */
export const isInMidWrite = (moment: Moment): boolean =>
  isFrameOf(moment.log, Math.max(flushedBytes(moment), LOG_HEADER_BYTES))

/** Each sector of what was not flushed: written, not written, or half and half. */
function torn(tail: Buffer, random: () => number): Buffer {
  const left = Buffer.from(tail)
  for (let at = 0; at < left.length; at += SECTOR_BYTES) {
    const sector = left.subarray(at, at + SECTOR_BYTES)
    const fate = random()
    if (fate < 0.3) sector.fill(0)
    else if (fate < 0.4)
      sector.fill(Math.floor(random() * 256), Math.floor(random() * sector.length))
  }
  return random() < 0.3 ? left.subarray(0, Math.floor(random() * left.length)) : left
}

/**
 * The file while what was flushed of the log is being brought into it, and is not flushed there yet: some pages
 * are written, some are not, some are cut in two.
 */
function mainInCheckpoint(moment: Moment, random: () => number): Buffer {
  const { main, log } = moment
  const pages = new Map<number, Buffer>()
  for (let at = LOG_HEADER_BYTES; at < flushedBytes(moment); at += FRAME_BYTES)
    pages.set(log.readUInt32BE(at), log.subarray(at + FRAME_HEADER_BYTES, at + FRAME_BYTES))
  const bytes = Math.max(main.length, Math.max(0, ...pages.keys()) * PAGE_BYTES)
  const mixed = Buffer.alloc(bytes)
  main.copy(mixed)
  for (const [number, page] of pages) {
    const fate = random()
    const written = fate < 0.4 ? 0 : fate < 0.9 ? PAGE_BYTES : SECTOR_BYTES
    page.copy(mixed, (number - 1) * PAGE_BYTES, 0, written)
  }
  return mixed
}

/** The index is no part of what a power cut keeps: it is gone, as it was, or rubbish. */
function indexAfter({ index }: Moment, random: () => number): Buffer | null {
  const fate = random()
  if (fate < 0.4) return null
  return fate < 0.7 ? index : Buffer.alloc(index.length, random().toString(36))
}

/** Writes the files as a process that dies leaves them: all that was written is there. */
export function leaveAsItStands(dir: string, { main, log, index }: Moment): void {
  writeFileSync(join(dir, NAME), main)
  writeFileSync(join(dir, `${NAME}-wal`), log)
  writeFileSync(join(dir, `${NAME}-shm`), index)
}

/** Writes the files as a power cut may leave them: what was flushed is there, and any part of the rest. */
export function leaveAfterPowerCut(dir: string, moment: Moment, random: () => number): void {
  const flushed = flushedBytes(moment)
  const isInCheckpoint = random() < 0.5
  const log = join(dir, `${NAME}-wal`)
  writeFileSync(join(dir, NAME), isInCheckpoint ? mainInCheckpoint(moment, random) : moment.main)
  writeFileSync(log, moment.log.subarray(0, flushed))
  appendFileSync(log, torn(moment.log.subarray(flushed), random))
  const index = indexAfter(moment, random)
  if (index === null) rmSync(join(dir, `${NAME}-shm`), { force: true })
  else writeFileSync(join(dir, `${NAME}-shm`), index)
}
