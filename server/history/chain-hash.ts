import { createHash } from 'node:crypto'

/** What stands before the first record: 32 zero bytes. */
export const FIRST_HASH: Buffer = Buffer.alloc(32)

/** Hash of a record: SHA-256 over the hash before it (32 bytes) and the record's canonical text in UTF-8. */
export function nextHash(previous: Buffer, canonicalText: string): Buffer {
  return createHash('sha256').update(previous).update(canonicalText, 'utf8').digest()
}
