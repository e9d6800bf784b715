import { readDecimal } from './decimal.ts'
import { refuseNmea } from './frame.ts'
import { MAX_LINE_BYTES } from './line-splitter.ts'
import type { RefusalReason } from './sentence.ts'

/** One reading of an XDR sentence, as sent: `A` with unit `D` is an angle in degrees, `P` with `B` bar. */
export interface Transducer {
  /** One letter: A angle, D distance, P pressure, C temperature, N force, S switch, G generic… */
  readonly type: string
  /** Null where the sender left it empty: no valid reading. */
  readonly value: number | null
  /** One letter, or empty for a type without a unit. */
  readonly unit: string
  readonly name: string
}

export type XdrDecoded =
  | { readonly ok: true; readonly talker: string; readonly transducers: readonly Transducer[] }
  | { readonly ok: false; readonly reason: RefusalReason }

/** Two characters name the talker. A leading P would make it a maker's own sentence, not an XDR. */
const ADDRESS = /^\$([A-OQ-Z][A-Z0-9])XDR$/
const LETTER = /^[A-Z]$/
const FIELDS_A_TRANSDUCER = 4

/**
 * Reads an NMEA 0183 transducer sentence of any talker. A line without a checksum, or with a wrong one, is
 * refused: of eleven sentences found in print, three had a wrong one. Lines beyond NMEA's 82 characters are
 * taken up to the splitter's bound, since sensors with many transducers write them.
 */
export function decodeXdr(line: string): XdrDecoded {
  const refusal = refuseNmea(line, MAX_LINE_BYTES)
  if (refusal) return { ok: false, reason: refusal }
  const [address = '', ...fields] = line.slice(0, -3).split(',')
  const talker = ADDRESS.exec(address)?.[1]
  if (talker === undefined) return { ok: false, reason: 'unknown sentence' }
  if (!(fields.length > 0 && fields.length % FIELDS_A_TRANSDUCER === 0))
    return { ok: false, reason: 'wrong field count' }
  const transducers = readTransducers(fields)
  return transducers ? { ok: true, talker, transducers } : { ok: false, reason: 'bad field' }
}

/** @returns null when a type is no letter or a value no number. */
function readTransducers(fields: readonly string[]): Transducer[] | null {
  const transducers: Transducer[] = []
  for (let at = 0; at < fields.length; at += FIELDS_A_TRANSDUCER) {
    const [type = '', valueText = '', unit = '', name = ''] = fields.slice(
      at,
      at + FIELDS_A_TRANSDUCER,
    )
    const value = valueText === '' ? null : readDecimal(valueText)
    if (!LETTER.test(type) || Number.isNaN(value)) return null
    transducers.push({ type, value, unit, name })
  }
  return transducers
}
