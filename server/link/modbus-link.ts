import { formatModbusLine } from '../../firmware-protocol/codec/modbus-line.ts'
import { makeAnnouncer } from './announcer.ts'
import { backoffS } from './backoff.ts'
import type { Clock, Link, WireState } from './link.ts'
import {
  failureOf,
  type ModbusClient,
  type ModbusPoll,
  type ModbusPort,
  type OpenModbus,
  openModbus,
  type PollFailure,
} from './modbus-client.ts'
import { describeFailure } from './modbus-words.ts'
import { describeTrouble } from './port-trouble.ts'

export interface ModbusLinkOptions extends ModbusPort {
  readonly poll: ModbusPoll
  /** From poll to poll; a sensor that takes longer is polled as often as it can. */
  readonly pollS: number
  readonly clock: Clock
  readonly openPort?: OpenModbus
  /** From 0 up to 1, for the jitter of the waits. */
  readonly chance?: () => number
}

/** One damaged answer is a spark of a welder; three in a row are a cause. */
const FAILURES_TOLD = 3
/** The bus is opened anew after so long without an answer: some drivers sleep on after an unplug. */
const REOPEN_AFTER_SILENCE_S = 5
/** Of a request on the wire: 8 bytes of 11 bits each, as the serial line guide counts them. */
const REQUEST_BITS = 88
/** Between frames the bus is silent for 3.5 characters, 1.75 ms from 19200 baud on. */
const GAP_S = 0.002

/**
 * A sensor on a Modbus RTU bus, polled for as long as the daemon runs. Each poll becomes one line, be it an answer
 * or what went wrong; SPECIFICATION of the line: `firmware-protocol/codec/modbus-line.ts`.
 */
export class ModbusLink implements Link {
  readonly onLines: Link['onLines']
  readonly onState: Link['onState']
  readonly #options: Required<ModbusLinkOptions>
  readonly #announcer: ReturnType<typeof makeAnnouncer>
  #client: ModbusClient | null = null
  #timer: ReturnType<Clock['after']> | null = null
  #isClosed = false
  /** Attempts to open that failed, in a row. */
  #attempts = 0
  #openings = 0
  /** Polls that failed, in a row, and since when. */
  #failed = 0
  #answeredS = 0

  constructor(options: ModbusLinkOptions) {
    this.#options = { openPort: openModbus, chance: Math.random, ...options }
    this.#announcer = makeAnnouncer(options.path)
    this.onLines = this.#announcer.onLines
    this.onState = this.#announcer.onState
  }

  open(): void {
    void this.#attempt()
  }

  async close(): Promise<void> {
    this.#isClosed = true
    this.#timer?.cancel()
    const client = this.#client
    this.#client = null
    this.#announcer.set({ state: 'closed', reason: 'The daemon has closed the port.', hint: '' })
    await client?.close()
  }

  /** A sensor is asked, never told. */
  send(): boolean {
    return false
  }

  state(): WireState {
    return this.#announcer.state()
  }

  /** The library judges the answers before they become lines. */
  judged(): void {}

  async #attempt(): Promise<void> {
    const { path, baudRate, parity, openPort, clock } = this.#options
    if (this.#isClosed) return
    try {
      const client = await openPort({ path, baudRate, parity })
      if (this.#isClosed) {
        await client.close()
        return
      }
      this.#client = client
      client.onGone(() => this.#lose(client))
      this.#openings++
      this.#failed = 0
      this.#answeredS = clock.nowS()
      this.#tellOpen()
      void this.#ask(client)
    } catch (error) {
      const { reason, hint } = describeTrouble(path, error)
      if (this.#isClosed) return
      this.#announcer.set({ state: this.#openings === 0 ? 'opening' : 'lost', reason, hint })
      this.#retryLater()
    }
  }

  /** After a silence the port that was opened anew stays silent until somebody answers. */
  #tellOpen(): void {
    const { path, poll } = this.#options
    const reconnects = this.#openings - 1
    if (this.#announcer.state().state === 'silent') this.#announcer.set({ reconnects })
    else
      this.#announcer.set({
        state: 'waiting',
        reason: `${path} is open; unit ${poll.unitId} has not answered yet.`,
        hint: '',
        reconnects,
      })
  }

  async #ask(client: ModbusClient): Promise<void> {
    const { clock, poll, pollS } = this.#options
    const askedS = clock.nowS()
    try {
      const registers = await client.read(poll)
      if (this.#client === client) this.#takeAnswer(registers, askedS)
    } catch (error) {
      if (this.#client === client) this.#takeFailure(client, failureOf(error))
    }
    if (this.#client !== client) return
    // A late answer to the question before must not be taken for the next one's.
    const quietS = this.#failed > 0 ? poll.timeoutS : GAP_S
    const waitS = Math.max(quietS, askedS + pollS - clock.nowS())
    this.#timer = clock.after(waitS, () => void this.#ask(client))
  }

  #takeAnswer(registers: readonly number[], askedS: number): void {
    const { clock, poll, baudRate } = this.#options
    const arrivalS = clock.nowS()
    const agoS = arrivalS - askedS - REQUEST_BITS / baudRate
    const ageUs = Math.max(0, Math.round(agoS * 1e6))
    this.#failed = 0
    this.#attempts = 0
    this.#answeredS = arrivalS
    this.#announcer.set({ state: 'live', reason: '', hint: '' })
    const { unitId } = poll
    this.#give(arrivalS, formatModbusLine({ kind: 'answer', unitId, ageUs, registers }))
  }

  #takeFailure(client: ModbusClient, failure: PollFailure): void {
    const { clock, path, poll } = this.#options
    if (failure.kind === 'gone') {
      this.#lose(client)
      return
    }
    const nowS = clock.nowS()
    if (failure.kind !== 'timeout') this.#answeredS = nowS
    if (++this.#failed >= FAILURES_TOLD)
      this.#announcer.set(describeFailure(failure, path, poll.unitId))
    this.#give(nowS, formatModbusLine({ ...failure, kind: failure.kind, unitId: poll.unitId }))
    if (nowS - this.#answeredS >= REOPEN_AFTER_SILENCE_S) void this.#reopen(client)
  }

  #give(arrivalS: number, text: string): void {
    this.#announcer.lines([{ arrivalS, text }])
  }

  async #reopen(client: ModbusClient): Promise<void> {
    this.#client = null
    await client.close()
    await this.#attempt()
  }

  #lose(client: ModbusClient): void {
    if (this.#client !== client) return
    this.#client = null
    this.#timer?.cancel()
    const { path, poll } = this.#options
    this.#announcer.set(describeFailure({ kind: 'gone', code: 0 }, path, poll.unitId))
    void client.close()
    this.#retryLater()
  }

  #retryLater(): void {
    const { clock, chance } = this.#options
    this.#timer = clock.after(backoffS(this.#attempts++, chance()), () => void this.#attempt())
  }
}
