/** An NMEA 0183 line with its checksum, without its ending. */
export function nmeaLine(body: string): string {
  let xor = 0
  for (const char of body) xor ^= char.charCodeAt(0)
  return `$${body}*${xor.toString(16).toUpperCase().padStart(2, '0')}`
}

/** An XDR sentence; each transducer as `type,value,unit,name`. */
export const xdrLine = (...transducers: readonly string[]): string =>
  nmeaLine(`YXXDR,${transducers.join(',')}`)
