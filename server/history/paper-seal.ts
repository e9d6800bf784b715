import { createHash } from 'node:crypto'
import canonicalize from 'canonicalize'
import type { SigningKey } from './key.ts'

/** Begins the last line of a sealed certificate: a comment to every reader of PDF, which ends at its `%%EOF`. */
export const SEAL_BEGIN = '%overbend-seal '
export const SEAL_VERSION = 1

/** The last line of a sealed certificate; the signature is over the rest of it in canonical form (RFC 8785). */
export interface PaperSeal {
  readonly version: number
  /** How many bytes stand before this line, and SHA-256 over them. */
  readonly bytes: number
  readonly sha256: string
  /** Where among them the records lie, as they were signed (`signedLines`). */
  readonly records: { readonly at: number; readonly bytes: number }
  readonly fingerprint: string
  readonly signature: string
}

/**
 * Puts a seal behind a PDF: Ed25519 over every byte of it, so that what is printed is held too, not only the records
 * inside.
 *
 * @param records The file inside the PDF, which must lie there as it is.
 * @throws RangeError where it does not.
 */
export function sealPaper(pdf: Buffer, records: Buffer, key: SigningKey): Buffer {
  const at = pdf.indexOf(records)
  if (at < 0) throw new RangeError('The records do not lie in the PDF as they are.')
  const whole = pdf.at(-1) === 0x0a ? pdf : Buffer.concat([pdf, Buffer.from('\n')])
  const unsigned: Omit<PaperSeal, 'signature'> = {
    version: SEAL_VERSION,
    bytes: whole.length,
    sha256: createHash('sha256').update(whole).digest('hex'),
    records: { at, bytes: records.length },
    fingerprint: key.fingerprint,
  }
  const signature = key.sign(canonicalize(unsigned) ?? '')
  return Buffer.concat([
    whole,
    Buffer.from(`${SEAL_BEGIN}${canonicalize({ ...unsigned, signature })}\n`),
  ])
}
