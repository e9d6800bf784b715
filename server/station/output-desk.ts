import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import type { DeviceSentence } from '../../firmware-protocol/codec/sentence.ts'
import { outputIsOn } from '../bend/output-rule.ts'
import type { Clock } from '../link/link.ts'
import type { Cue } from '../messages/live.ts'
import type { ArmOutput, OutputName, OutputState } from '../messages/output.ts'
import { type OutputDoor, Refused } from '../web/station-door.ts'
import { ChainOutputs } from './taps/chain-outputs.ts'

/** The board lets the output fall by itself after this: the daemon may be gone. */
const TIME_TO_LIVE_MS = 500
/** Three heartbeats in each time to live: one or two may be lost. */
const HEARTBEAT_S = 0.15
/** The page that armed it renews this; it may be gone. */
const LEASE_S = 3
const TICK_S = 0.05

/** Numbers of commands: apart from those of the station, so that an answer is not taken for another's. */
const FIRST_COMMAND = 1000
const COMMANDS = 60_000
/** Answers that never come are not waited for without end. */
const ASKED_MAX = 16

type Answer = Extract<DeviceSentence, { kind: 'answer' }>

/** What the output follows. */
interface Moment {
  readonly cue: Cue
  /** Degrees arrive now. */
  readonly isLive: boolean
  /** From a board that speaks the native protocol: no other dialect has outputs. */
  readonly isNative: boolean
}

export interface OutputParts {
  readonly clock: Clock
  /** false when there is no one to send it to. */
  send(line: string): boolean
  moment(): Moment
  changed(): void
}

/**
 * The board's output, when a person has armed it. Everything that goes wrong ends in "off": it is told so, and
 * where it cannot be told, its time to live on the board runs out.
 */
export class OutputDesk {
  /** What the chain asks of outputs that are not armed, and of the one that is armed for it. */
  readonly chain: ChainOutputs
  readonly #parts: OutputParts
  readonly #asked = new Set<number>()
  #armed: OutputName | null = null
  #follows: NonNullable<ArmOutput['follows']> = 'stop-cue'
  #isOn = false
  /** A relay that fell stays down until the operator speaks again. */
  #dropped = false
  #trouble: string | null = null
  #leaseEndS = 0
  #lastSentS = 0
  #sent = 0
  #timer: { cancel(): void } | null = null

  constructor(parts: OutputParts) {
    this.#parts = parts
    this.chain = new ChainOutputs({
      ...{ clock: parts.clock, send: parts.send, moment: parts.moment },
      isArmed: (output) => this.#armed === output,
    })
  }

  /** For the web. */
  door(): OutputDoor {
    return {
      arm: (what) => this.arm(what),
      keep: () => this.keep(),
      disarm: () => this.disarm(null),
    }
  }

  state(): OutputState {
    const follows = this.#armed && this.#follows
    return { armed: this.#armed, follows, isOn: this.#isOn, trouble: this.#trouble }
  }

  /** @throws Refused when no board is there that has outputs. */
  arm({ output, follows = 'stop-cue' }: ArmOutput): void {
    const { isLive, isNative } = this.#parts.moment()
    if (!isLive) throw new Refused('not-now', 'No angle arrives: an output cannot be armed now.')
    if (!isNative)
      throw new Refused('not-now', 'Only a board that speaks the native protocol has outputs.')
    this.disarm(null)
    this.chain.giveUp(output)
    this.#armed = output
    this.#follows = follows
    this.#dropped = false
    this.#trouble = null
    this.#leaseEndS = this.#nowS() + LEASE_S
    this.#tick()
    this.#parts.changed()
  }

  /**
   * The page that armed it is still there.
   *
   * @throws Refused when nothing is armed any more: the page must not arm anew by itself.
   */
  keep(): void {
    if (this.#armed === null)
      throw new Refused('not-now', this.#trouble ?? 'No output is armed, so none can be kept so.')
    this.#leaseEndS = this.#nowS() + LEASE_S
  }

  /** @param why one sentence for the page; null when a person wanted it. */
  disarm(why: string | null): void {
    if (this.#armed === null) return
    // Told even when it should be off already: a line may have been lost.
    this.#ask(this.#armed, false)
    this.#armed = null
    this.#trouble = why
    this.#timer?.cancel()
    this.#timer = null
    this.#parts.changed()
  }

  /** The operator has taken a datum or goes again: a relay that fell may come up. */
  operatorSpoke(): void {
    this.#dropped = false
  }

  answered(answer: Answer): void {
    const { command, ok, reason } = answer
    this.chain.answered(answer)
    if (this.#asked.delete(command) && !ok)
      this.disarm(`The output was disarmed: the board refuses it (${reason}).`)
  }

  /** To be called whenever the cue or the wire may have changed. */
  follow(): void {
    this.chain.follow()
    if (this.#armed === null) return
    const { cue, isLive } = this.#parts.moment()
    if (!isLive) this.disarm('The output was disarmed: no angle arrives.')
    else if (this.#nowS() <= this.#leaseEndS) this.#switch(this.#armed, cue)
    else this.disarm('The output was disarmed: the page that armed it is gone.')
  }

  #switch(output: OutputName, cue: Cue): void {
    const byChain = this.#follows === 'chain'
    const on = byChain ? this.chain.wants(output) : outputIsOn(output, cue, this.#dropped)
    if (!byChain && output === 'relay' && this.#isOn && !on) this.#dropped = true
    if (on !== this.#isOn) this.#ask(output, on)
    else if (on) this.#beat()
  }

  #tick(): void {
    this.follow()
    if (this.#armed !== null) this.#timer = this.#parts.clock.after(TICK_S, () => this.#tick())
  }

  #ask(output: OutputName, on: boolean): void {
    const command = this.#nextCommand()
    if (this.#asked.size >= ASKED_MAX) this.#asked.clear()
    this.#asked.add(command)
    const timeToLiveMs = on ? TIME_TO_LIVE_MS : 1
    this.#parts.send(encodeSentence({ kind: 'set-output', command, output, on, timeToLiveMs }))
    this.#isOn = on
    this.#lastSentS = this.#nowS()
  }

  #beat(): void {
    if (this.#nowS() - this.#lastSentS < HEARTBEAT_S) return
    this.#parts.send(encodeSentence({ kind: 'heartbeat', command: this.#nextCommand() }))
    this.#lastSentS = this.#nowS()
  }

  #nextCommand(): number {
    return FIRST_COMMAND + (this.#sent++ % COMMANDS)
  }

  #nowS(): number {
    return this.#parts.clock.nowS()
  }
}
