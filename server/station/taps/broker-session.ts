import { backoffS } from '../../link/backoff.ts'
import type { Broker, BrokerConnection } from './mqtt-connection.ts'
import { NotLetOut } from './tap.ts'
import type { TapAround } from './tap-around.ts'
import { withinSeconds } from './within-seconds.ts'

export interface BrokerMessage {
  readonly topic: string
  readonly payload: string
  readonly retain: boolean
}

interface SessionParts {
  readonly around: Pick<TapAround, 'clock' | 'connectBroker'>
  /** @throws NotLetOut while it cannot be told. */
  broker(): Broker
  /** What the broker is told, and keeps, when we come and when we take leave. */
  readonly here: BrokerMessage
  readonly gone: BrokerMessage
  /** It is there, for the first time or again. */
  open(): void
}

const TAKEN_WITHIN_S = 10

/** One connection to a broker that comes back by itself. */
export class BrokerSession {
  readonly #parts: SessionParts
  #connection: BrokerConnection | null = null
  #trouble: string | null = 'The broker has not answered yet.'
  #failures = 0
  #isClosed = false
  #timer: { cancel(): void } | null = null

  constructor(parts: SessionParts) {
    this.#parts = parts
    void this.#open()
  }

  trouble(): string | null {
    return this.#trouble
  }

  /** @throws NotLetOut when the broker is not there, or breaks off before it has taken it. */
  async publish({ topic, payload, retain }: BrokerMessage): Promise<void> {
    const to = this.#connection
    if (to === null) throw new NotLetOut(this.#trouble ?? 'The broker is not there.')
    const late = this.#parts.around.clock.after(TAKEN_WITHIN_S, to.drop)
    try {
      await to.publish(topic, payload, retain)
    } catch {
      throw new NotLetOut('The broker broke off before it had taken a message.')
    } finally {
      late.cancel()
    }
  }

  /** Takes leave, for so long at the most. */
  async close(withinS: number): Promise<void> {
    this.#isClosed = true
    this.#timer?.cancel()
    const open = this.#connection
    if (open === null) return
    const leave = this.publish(this.#parts.gone).then(open.end)
    await withinSeconds(this.#parts.around.clock, withinS, leave)
    open.drop()
  }

  #comeBack(why: string): void {
    this.#connection = null
    this.#trouble = why
    if (this.#isClosed) return
    const waitS = backoffS(this.#failures++, Math.random())
    this.#timer = this.#parts.around.clock.after(waitS, () => {
      this.#timer = null
      void this.#open()
    })
  }

  async #open(): Promise<void> {
    const { around, here, broker, open } = this.#parts
    try {
      const opened = await around.connectBroker(broker())
      if (this.#isClosed) return opened.drop()
      opened.onClose(() => {
        if (this.#connection === opened) this.#comeBack('The broker broke off.')
      })
      this.#connection = opened
      await this.publish(here)
      this.#trouble = null
      this.#failures = 0
      open()
    } catch (error) {
      // Once it was open, its close is what brings it back.
      if (this.#connection === null && this.#timer === null)
        this.#comeBack((error as Error).message)
    }
  }
}
