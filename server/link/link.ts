/** A line as it came in, its ending taken off. Bounded in length by the link. */
export interface ReceivedLine {
  /** Monotonic seconds on the clock handed to the link. */
  readonly arrivalS: number
  readonly text: string
  /** Only a replayed record has lines that a host once gave; absent means the device. */
  readonly from?: 'host'
}

/** How the wire is. `garbled`: bytes come but make no lines, as at a wrong baud rate. */
export interface WireState {
  readonly state: 'opening' | 'waiting' | 'live' | 'silent' | 'garbled' | 'lost' | 'closed'
  /** Path, address or file. */
  readonly source: string
  /** One sentence each; empty when live. */
  readonly reason: string
  readonly hint: string
  /** Lines thrown away because they had no end within the bound. */
  readonly overlong: number
  readonly reconnects: number
}

/** Where lines come from: a serial port, a file, the built-in bench. It reconnects by itself. */
export interface Link {
  /** Begins to open; never throws for a port that is not there: that is a state. */
  open(): void
  close(): Promise<void>
  /** Sends one line to the device; false when there is no one to send it to. */
  send(line: string): boolean
  /** Lines in batches, as they come off the wire; never an empty batch. */
  onLines(listener: (lines: readonly ReceivedLine[]) => void): void
  onState(listener: (state: WireState) => void): void
  state(): WireState
  /**
   * The daemon tells what it could make of the lines, so that a wrong baud rate is told from silence. `foreign`
   * are whole lines that are none of the sensor's: beside good ones they are no sign of anything.
   */
  judged(good: number, refused: number, foreign?: number): void
}

/** Monotonic seconds and timers, handed in so that a simulated clock can stand in. */
export interface Clock {
  nowS(): number
  /** Wall time in milliseconds since 1970. */
  wallMs(): number
  after(seconds: number, act: () => void): { cancel(): void }
}
