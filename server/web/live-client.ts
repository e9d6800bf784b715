import type { LiveMessage } from '../messages/live.ts'

/** What one page's socket can do; `ws` has it, and so has a test. */
export interface Wire {
  /** Bytes handed over that the system has not yet taken. */
  readonly bufferedAmount: number
  send(data: Uint8Array, sent: () => void): void
  terminate(): void
}

export type SamplesMessage = Extract<LiveMessage, { type: 'samples' }>

/** Above this a page is too slow for now: about 5 s of samples at 100 Hz wait already. */
export const BEHIND_BYTES = 64 * 1024
/** Above this it is given up: nothing that is sent one at a time adds up to so much. */
export const HOPELESS_BYTES = 1024 * 1024
/** A page that takes nothing for so long shows nothing true; it will connect anew. */
export const BEHIND_MAX_S = 5

const encoder = new TextEncoder()

export const encode = (message: LiveMessage): Uint8Array => encoder.encode(JSON.stringify(message))

export interface LiveClient {
  hello(data: Uint8Array): void
  state(data: Uint8Array): void
  /** `data` is `message` encoded once for everyone who is up to date. */
  samples(data: Uint8Array, message: SamplesMessage): void
  /** Gives the page up if it is hopelessly behind; to be called now and then. */
  check(): void
}

/**
 * Back-pressure for one page. A slow page gets fewer samples and is told how many it missed; of the
 * states that wait only the newest is kept. So what waits for it is bounded, whatever it does.
 */
export function makeLiveClient(wire: Wire, nowS: () => number): LiveClient {
  let omitted = 0
  let waitingState: Uint8Array | null = null
  let behindSinceS: number | null = null
  // The first message carries the trace of the bend in hand and may be long; it is no sign of slowness.
  let helloBytes = 0

  const isBehind = () => wire.bufferedAmount > BEHIND_BYTES + helloBytes

  function giveUpIfHopeless() {
    const isFull = wire.bufferedAmount > HOPELESS_BYTES + helloBytes
    const isStuck = behindSinceS !== null && nowS() - behindSinceS > BEHIND_MAX_S
    if (isFull || isStuck) wire.terminate()
  }

  function drained() {
    if (isBehind()) return
    behindSinceS = null
    if (waitingState === null) return
    const data = waitingState
    waitingState = null
    wire.send(data, drained)
  }

  /** True when there is room for a message now; when there is none, time is counted. */
  function hasRoom(): boolean {
    if (!isBehind()) {
      behindSinceS = null
      return true
    }
    behindSinceS ??= nowS()
    giveUpIfHopeless()
    return false
  }

  return {
    hello(data) {
      helloBytes = data.byteLength
      wire.send(data, () => {
        helloBytes = 0
        drained()
      })
    },
    state(data) {
      if (hasRoom()) wire.send(data, drained)
      else waitingState = data
    },
    samples(data, message) {
      if (!hasRoom()) {
        omitted += message.tS.length
        return
      }
      const missed = omitted
      omitted = 0
      const own = missed === 0 ? data : encode({ ...message, omitted: message.omitted + missed })
      wire.send(own, drained)
    },
    check: () => void hasRoom(),
  }
}
