import type {
  DeviceSentence,
  Hello,
  RefusalReason,
  SampleSentence,
} from '../../firmware-protocol/codec/sentence.ts'

/** A hello; `start` when nobody asked for it: sequence, tick and incremental counts have begun anew. */
type HelloReport = Hello & { readonly start: boolean }

/** What a device says besides its readings. `flags` comes when the flags of the samples change. */
export type DeviceReport =
  | HelloReport
  | Exclude<DeviceSentence, SampleSentence | Hello | { readonly kind: 'axes' }>
  | { readonly kind: 'flags'; readonly flags: number }

/** What was wrong with a line: refused by the codec, lines missing before it, or the same line again. */
export type LineTrouble =
  | { readonly reason: RefusalReason }
  | { readonly reason: 'gap'; readonly missing: number }
  | { readonly reason: 'duplicate' }
