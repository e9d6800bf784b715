/**
 * The sentences of the native line protocol, as values. `SPECIFICATION.md` is normative; this is its shape
 * in TypeScript. Counts, ticks and sequence numbers are integers exactly as sent; no unit conversion here.
 */

/** Device to host: who I am. Sent at boot and when asked. */
export interface Hello {
  readonly kind: 'hello'
  readonly protocol: number
  readonly firmware: string
  /** Serial number of the board: the same after a reset, different on another board. */
  readonly board: string
  readonly sensor: 'incremental' | 'absolute' | 'accelerometer'
  /** Counts a turn of the shaft, or counts a g for an accelerometer. */
  readonly countsPerTurn: number
  readonly rateHz: number
}

/** Device to host: one reading of the angle sensor. */
export interface SampleSentence {
  readonly kind: 'sample'
  /** 0 to 65535, then 0 again. Samples, axes and events share this count. */
  readonly sequence: number
  /** Device microseconds, 0 to 2^32 − 1, then 0 again (71.58 min). */
  readonly tickUs: number
  /** Signed 32 bit for an incremental encoder, 0 to countsPerTurn − 1 for an absolute one. */
  readonly counts: number
  /** Bit 0 sensor fault, bit 1 weak magnet, bit 2 supply low, bit 3 simulated device. */
  readonly flags: number
  /** Second channel in its own counts, or null. */
  readonly second: number | null
}

/** Device to host: three axes in counts. */
interface AxesSentence {
  readonly kind: 'axes'
  readonly sequence: number
  readonly tickUs: number
  readonly x: number
  readonly y: number
  readonly z: number
  readonly flags: number
}

/** Device to host, about once a second. */
interface StatusSentence {
  readonly kind: 'status'
  readonly tickUs: number
  readonly flags: number
  readonly supplyMv: number
  /** Lines the device had to leave out because the host was slow. */
  readonly overruns: number
  readonly sensorErrors: number
}

/** Device to host: a pedal or button. The counts are latched at the edge. */
interface EventSentence {
  readonly kind: 'event'
  readonly sequence: number
  readonly tickUs: number
  /** Input number, 1 to 9; 1 is the pedal. */
  readonly input: number
  readonly edge: 'down' | 'up'
  readonly counts: number
}

/** Device to host: what became of a command. */
interface AnswerSentence {
  readonly kind: 'answer'
  readonly command: number
  readonly ok: boolean
  /** Empty when ok; else a short reason of letters, digits and spaces. */
  readonly reason: string
}

/** Device to host: reply to a clock query. */
interface ClockReplySentence {
  readonly kind: 'clock-reply'
  readonly command: number
  readonly receivedTickUs: number
  readonly sentTickUs: number
}

/** Host to device. Each carries a number that its answer repeats. */
export type CommandSentence =
  | {
      readonly kind: 'identify'
      readonly command: number
      /** Highest protocol version that the host speaks; left out by a host that speaks version 1 only. */
      readonly protocol?: number
    }
  | { readonly kind: 'set-rate'; readonly command: number; readonly rateHz: number }
  | {
      readonly kind: 'set-output'
      readonly command: number
      readonly output: 'buzzer' | 'lamp' | 'relay'
      readonly on: boolean
      /** The output drops out by itself after this, unless renewed. 1 to 2000. */
      readonly timeToLiveMs: number
    }
  | { readonly kind: 'heartbeat'; readonly command: number }
  | { readonly kind: 'clock-query'; readonly command: number }

export type DeviceSentence =
  | Hello
  | SampleSentence
  | AxesSentence
  | StatusSentence
  | EventSentence
  | AnswerSentence
  | ClockReplySentence

export type Sentence = DeviceSentence | CommandSentence

/** Why a line was not taken. Each is counted on its own. */
export type RefusalReason =
  | 'empty'
  | 'overlong'
  | 'not printable'
  | 'no start'
  | 'no checksum'
  | 'bad checksum'
  | 'bad crc'
  | 'unknown sentence'
  | 'wrong field count'
  | 'bad field'

export type Decoded =
  | { readonly ok: true; readonly sentence: Sentence }
  | { readonly ok: false; readonly reason: RefusalReason }
