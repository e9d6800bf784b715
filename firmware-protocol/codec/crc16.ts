/** x^16 + x^12 + x^5 + 1 without its leading term: the generator of CRC-16/IBM-3740, alias CCITT-FALSE. */
const GENERATOR = 0x1021
const START = 0xffff

const TABLE = Uint16Array.from({ length: 256 }, (_, byte) => remainderOf(byte << 8))

function remainderOf(value: number): number {
  let crc = value
  for (let bit = 0; bit < 8; bit++)
    crc = crc & 0x8000 ? ((crc << 1) ^ GENERATOR) & 0xffff : (crc << 1) & 0xffff
  return crc
}

/**
 * CRC-16/IBM-3740 (alias CCITT-FALSE: not reflected, start FFFF, no final XOR) of the characters
 * `from` to `to` − 1, each taken as one byte. 123456789 gives 29B1, the check value of the CRC catalogue.
 *
 * The sum that a line's order goes into: the XOR beside it cannot tell 12.34 from 21.34.
 *
 * @returns 0 to 65535.
 */
export function crc16Ccitt(text: string, from = 0, to = text.length): number {
  let crc = START
  for (let at = from; at < to; at++) {
    const entry = TABLE[(crc >> 8) ^ (text.charCodeAt(at) & 0xff)] as number
    crc = ((crc << 8) & 0xffff) ^ entry
  }
  return crc
}
