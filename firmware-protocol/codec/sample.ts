import { readInteger } from './field.ts'
import { FIELDS_AT, fieldsEnd, LETTER_AT, refuseFrame } from './frame.ts'

/** A sample to be filled again and again, so that a fast sensor makes no work for the memory manager. */
export interface SampleTarget {
  sequence: number
  tickUs: number
  counts: number
  flags: number
  second: number | null
}

const LETTER = 0x53
const UINT32_MAX = 2 ** 32 - 1
const INT32_MAX = 2 ** 31 - 1
const INT32_MIN = -(2 ** 31)

/**
 * `decodeLine` for samples only, without making an object a line. It checks the same frame, checksum, CRC and
 * limits: a test holds the two against each other, on good lines and on damaged ones.
 *
 * @returns true and fills the target; false for anything that is not a valid sample, the target untouched. Then
 *   `decodeLine` tells what it is.
 */
export function decodeSampleInto(line: string, target: SampleTarget): boolean {
  if (!(line.charCodeAt(LETTER_AT) === LETTER && refuseFrame(line) === null)) return false
  const end = fieldsEnd(line)
  // A missing comma gives 0 here, and the field after it an end before its start, which is no number.
  const tickAt = line.indexOf(',', FIELDS_AT + 1) + 1
  const countsAt = line.indexOf(',', tickAt) + 1
  const flagsAt = line.indexOf(',', countsAt) + 1
  const secondAt = line.indexOf(',', flagsAt) + 1
  if (!(line.charAt(FIELDS_AT) === ',' && line.indexOf(',', secondAt) === end)) return false

  const sequence = readInteger(line, FIELDS_AT + 1, tickAt - 1, 0, 65535)
  const tickUs = readInteger(line, tickAt, countsAt - 1, 0, UINT32_MAX)
  const counts = readInteger(line, countsAt, flagsAt - 1, INT32_MIN, INT32_MAX)
  const flags = readInteger(line, flagsAt, secondAt - 1, 0, 255)
  const second = secondAt === end ? 0 : readInteger(line, secondAt, end, INT32_MIN, INT32_MAX)
  if (Number.isNaN(sequence + tickUs + counts + flags + second)) return false

  target.sequence = sequence
  target.tickUs = tickUs
  target.counts = counts
  target.flags = flags
  target.second = secondAt === end ? null : second
  return true
}
