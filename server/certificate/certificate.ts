import type { Amendable } from '../messages/act-kinds/amendment.ts'
import type { Bend, BendTrace } from '../messages/bends.ts'

/** Something a person did about a bend after it was recorded, as one line. */
export interface Deed {
  /** ISO 8601 with offset. */
  readonly at: string
  readonly who: string
  readonly what: string
}

/** One recorded bend as it stands on the paper. */
export interface CertifiedBend {
  /** As it was recorded, never as it was amended. */
  readonly bend: Bend
  /** Null where its raw lines cannot be run again here. */
  readonly trace: BendTrace | null
  /** Expanded uncertainty of the released angle, degrees; null where it is not known, or nobody calibrated. */
  readonly expandedDeg: number | null
  /** What the released angle with its uncertainty proves of the tolerance; null where U is not known. */
  readonly proof: 'proved-in' | 'proved-out' | 'undecided' | null
  /** Voided by a person: counted apart. */
  readonly isVoid: boolean
  /** What stands by now beside what was recorded otherwise, written out; null: nothing. */
  readonly amended: Readonly<Partial<Record<Amendable, string | null>>>
  /** Oldest first. */
  readonly deeds: readonly Deed[]
}

/** One piece of a part, in the order its bends were recorded. */
export interface Sheet {
  readonly part: string
  readonly piece: number
  /** Of this piece as they stand by now. */
  readonly bends: readonly CertifiedBend[]
  /** Recorded for this piece, and amended since so that they are not what was asked for. */
  readonly gone: readonly Pick<CertifiedBend, 'bend' | 'deeds'>[]
}

/** The signature over the records that go along inside the PDF. */
interface Seal {
  /** Of the key: SHA-256, hexadecimal. */
  readonly fingerprint: string
  /** Ed25519, base64. */
  readonly signature: string
}

/** What goes on paper. */
export interface Certificate {
  /** ISO 8601 with offset. */
  readonly issuedAt: string
  readonly software: string
  /** Records in the history when it was issued, and the hash of the last. */
  readonly records: number
  readonly head: string
  readonly seal: Seal | null
  readonly sheets: readonly Sheet[]
  /** A file that goes along inside the PDF as it is, for a machine to check. */
  readonly attachment: { readonly name: string; readonly bytes: Uint8Array } | null
}
