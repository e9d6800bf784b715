/** First words of every signed export: what the file is, and how it is to be read. */
export const SIGNED_FORMAT = 'overbend-signed-export'
export const SIGNED_VERSION = 1

interface ChainHead {
  readonly count: number
  readonly head: string
}

/** The last line: what is signed, in canonical form (RFC 8785) without the signature. */
export interface SignedEnd {
  readonly bends: number
  readonly acts: number
  readonly heads: Readonly<
    Record<'bends' | 'readout' | 'acts' | 'chains' | 'people' | 'exports', ChainHead>
  >
  /** Of all lines before, each with its line end. */
  readonly sha256: string
  readonly fingerprint: string
  readonly signature: string
}
