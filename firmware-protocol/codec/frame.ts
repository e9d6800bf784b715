import { crc16Ccitt } from './crc16.ts'
import type { RefusalReason } from './sentence.ts'

/** NMEA 0183: 82 characters with `$` and CR LF, so 80 without the line ending. */
export const MAX_LINE_CHARS = 80

/**
 * `P` for proprietary and XOB for this project. XOB is not registered as a maker code; the leading X is
 * there to say so.
 */
const ADDRESS_PREFIX = '$PXOB'
/** Where the letter of the sentence stands, and the comma before its first field. */
export const LETTER_AT = ADDRESS_PREFIX.length
export const FIELDS_AT = LETTER_AT + 1
/** `,CCCC*hh`: what stands behind the last field. */
const TAIL_CHARS = 8

const SPACE = 0x20
const TILDE = 0x7e
const STAR = 0x2a
const COMMA = 0x2c
const DOLLAR = 0x24

/** Where the fields of a native line end: at the comma before its CRC. */
export const fieldsEnd = (line: string): number => line.length - TAIL_CHARS

/**
 * The frame that all NMEA 0183 sentences share: `$`, printable ASCII, `*` and the XOR of what is between.
 *
 * @param maxChars Longest line to take, without its ending.
 * @returns Why the line is refused, or null when the frame is whole.
 */
export function refuseNmea(line: string, maxChars: number): RefusalReason | null {
  if (line.length === 0) return 'empty'
  if (line.length > maxChars) return 'overlong'
  const starAt = line.length - 3
  let xor = 0
  for (let at = 0; at < line.length; at++) {
    const char = line.charCodeAt(at)
    if (!(char >= SPACE && char <= TILDE)) return 'not printable'
    if (at > 0 && at < starAt) xor ^= char
  }
  if (line.charCodeAt(0) !== DOLLAR) return 'no start'
  if (line.charCodeAt(starAt) !== STAR) return 'no checksum'
  return readHex(line, starAt + 1, line.length) === xor ? null : 'bad checksum'
}

/**
 * The frame of a native line: an NMEA frame of our prefix whose last field is the CRC of what comes before it.
 * The prefix is looked at before the CRC, so that a stray standard sentence is unknown, not damaged.
 *
 * @returns Why the line is refused, or null when the frame is whole; its letter may still be unknown.
 */
export function refuseFrame(line: string): RefusalReason | null {
  const refusal = refuseNmea(line, MAX_LINE_CHARS)
  if (refusal) return refusal
  if (!line.startsWith(ADDRESS_PREFIX)) return 'unknown sentence'
  const end = fieldsEnd(line)
  if (!(end >= FIELDS_AT && line.charCodeAt(end) === COMMA)) return 'bad crc'
  const crc = readHex(line, end + 1, end + 5)
  return crc16Ccitt(line, 1, end) === crc ? null : 'bad crc'
}

/**
 * A native line without its ending.
 *
 * @param letter The letter of the sentence.
 * @throws RangeError when the line would be longer than 82 characters with its ending.
 */
export function closeFrame(letter: string, fields: readonly string[]): string {
  const body = [`${ADDRESS_PREFIX}${letter}`, ...fields].join(',')
  const summed = `${body},${toHex(crc16Ccitt(body, 1), 4)}`
  const line = `${summed}*${toHex(xorOf(summed), 2)}`
  if (line.length > MAX_LINE_CHARS)
    throw new RangeError(`A line takes at most ${MAX_LINE_CHARS} characters, got ${line.length}.`)
  return line
}

function xorOf(summed: string): number {
  let xor = 0
  for (let at = 1; at < summed.length; at++) xor ^= summed.charCodeAt(at)
  return xor
}

const toHex = (value: number, digits: number): string =>
  value.toString(16).toUpperCase().padStart(digits, '0')

/** @returns The value of the hex digits, of either case; −1, which equals no sum, if one is none. */
function readHex(line: string, from: number, to: number): number {
  let value = 0
  for (let at = from; at < to; at++) {
    const digit = hexDigit(line.charCodeAt(at))
    if (digit < 0) return -1
    value = value * 16 + digit
  }
  return value
}

function hexDigit(char: number): number {
  if (char >= 0x30 && char <= 0x39) return char - 0x30
  const letter = char & ~0x20
  return letter >= 0x41 && letter <= 0x46 ? letter - 0x41 + 10 : -1
}
