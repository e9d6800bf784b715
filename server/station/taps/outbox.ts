import { backoffS } from '../../link/backoff.ts'
import type { Clock } from '../../link/link.ts'
import { NotLetOut, type TapStanding } from './tap.ts'
import { withinSeconds } from './within-seconds.ts'

interface OutboxParts<T> {
  readonly clock: Pick<Clock, 'after'>
  /** So much waits at the most: then the oldest is left out, and counted. */
  readonly waitingMax: number
  readonly batchMax: number
  /** How long things are gathered before they go together, seconds. */
  readonly gatherS: number
  /** Nothing is sent before this: a tap before it may still hold the file. */
  readonly after: Promise<unknown>
  /** @throws NotLetOut with one sentence. */
  send(items: readonly T[]): Promise<void>
}

/**
 * A bounded queue in front of something slow: in order, one batch at a time. What fails is tried again, quickly
 * at first; what is refused for good makes room for the next.
 */
export class Outbox<T> {
  readonly #parts: OutboxParts<T>
  readonly #waiting: T[] = []
  #inHand: readonly T[] = []
  #sending: Promise<void> | null = null
  #timer: { cancel(): void } | null = null
  #isClosed = false
  #failures = 0
  readonly #counts = { sent: 0, dropped: 0, refused: 0 }
  #trouble: string | null = null

  constructor(parts: OutboxParts<T>) {
    this.#parts = parts
  }

  put(item: T): void {
    if (this.#isClosed) return
    this.#waiting.push(item)
    this.#bound()
    this.#schedule(this.#parts.gatherS)
  }

  /** Tries at once, whatever it waits for: the other end is back. */
  wake(): void {
    this.#timer?.cancel()
    this.#timer = null
    if (this.#sending !== null || this.#waiting.length === 0) return
    this.#sending = this.#sendBatch().then(() => {
      this.#sending = null
      if (!this.#isClosed)
        this.#schedule(this.#failures > 0 ? backoffS(this.#failures - 1, 0.5) : 0)
    })
  }

  standing(): TapStanding {
    const waiting = this.#waiting.length + this.#inHand.length
    return { ...this.#counts, waiting, trouble: this.#trouble }
  }

  /** Sends what waits, for so long at the most; what is still there then is left out. */
  async close(withinS: number): Promise<void> {
    this.#isClosed = true
    this.#timer?.cancel()
    await withinSeconds(this.#parts.clock, withinS, this.#empty())
    this.#counts.dropped += this.#waiting.length
    this.#waiting.length = 0
  }

  async #empty(): Promise<void> {
    await this.#sending
    while (this.#waiting.length > 0 && this.#failures === 0) {
      this.wake()
      await this.#sending
    }
  }

  #schedule(seconds: number): void {
    if (this.#timer !== null || this.#sending !== null || this.#waiting.length === 0) return
    this.#timer = this.#parts.clock.after(seconds, () => this.wake())
  }

  async #sendBatch(): Promise<void> {
    await this.#parts.after
    this.#inHand = this.#waiting.splice(0, this.#parts.batchMax)
    try {
      await this.#parts.send(this.#inHand)
      this.#counts.sent += this.#inHand.length
      this.#trouble = null
      this.#failures = 0
    } catch (error) {
      this.#failed(error)
    }
    this.#inHand = []
  }

  #failed(error: unknown): void {
    this.#trouble = error instanceof Error ? error.message : String(error)
    if (error instanceof NotLetOut && error.final) {
      this.#counts.refused += this.#inHand.length
      return
    }
    this.#failures++
    this.#waiting.unshift(...this.#inHand)
    this.#bound()
  }

  #bound(): void {
    const over = this.#waiting.length - this.#parts.waitingMax
    if (over <= 0) return
    this.#waiting.splice(0, over)
    this.#counts.dropped += over
  }
}
