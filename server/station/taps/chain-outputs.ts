import { encodeSentence } from '../../../firmware-protocol/codec/encode.ts'
import type { TapSwitch } from '../../blocks/tap-message.ts'
import type { Clock } from '../../link/link.ts'
import type { OutputName } from '../../messages/output.ts'
import type { TapStanding } from './tap.ts'

/** Numbers of commands: behind those of the armed output, so that an answer is not taken for another's. */
const FIRST_COMMAND = 61_000
const COMMANDS = 4000
const TICK_S = 0.05
/** A line may be lost: what is not answered is told again, so often. */
const ANSWERED_WITHIN_S = 0.2
const TRIES_MAX = 5
/** The longest time to live that the native protocol knows. */
const LIFE_MAX_MS = 2000
/** A life that grows by less is not told anew. */
const LONGER_S = 0.01

const OUTPUTS = ['buzzer', 'lamp', 'relay'] as const

interface Told {
  readonly command: number
  readonly on: boolean
  /** When the board lets it fall by itself, at the latest. */
  readonly endS: number
  readonly atS: number
  readonly tries: number
  readonly isAnswered: boolean
}

export interface ChainOutputsParts {
  readonly clock: Pick<Clock, 'nowS' | 'after'>
  /** false when there is no one to send it to. */
  send(line: string): boolean
  moment(): { readonly isLive: boolean; readonly isNative: boolean }
  /** A person has armed it: it is the output desk's, whatever it follows. */
  isArmed(output: OutputName): boolean
}

/**
 * What blocks of the chain ask of the board's outputs. Buzzer and lamp it switches by itself, as long as no person
 * has armed them for the stop cue; the relay only moves when it is armed for the chain, and the output desk does
 * that. Each cause ends at its own time, whether the chain says so or not, and the board has its time to live.
 */
export class ChainOutputs {
  readonly #parts: ChainOutputsParts
  /** Until when each block wants an output on. */
  readonly #causes = new Map<OutputName, Map<string, number>>()
  readonly #told = new Map<OutputName, Told>()
  readonly #standings = new Map<string, TapStanding>()
  #sent = 0
  #timer: { cancel(): void } | null = null

  constructor(parts: ChainOutputsParts) {
    this.#parts = parts
  }

  hear({ block, output, timeS, on, lifeS }: TapSwitch): void {
    const causes = this.#causes.get(output) ?? new Map<string, number>()
    this.#causes.set(output, causes)
    const endS = timeS + lifeS
    if (!on) causes.delete(block)
    else if (endS > this.#nowS()) causes.set(block, Math.min(endS, this.#nowS() + lifeS))
    if (on) this.#note(block, this.#whyNot(output, endS))
    this.follow()
  }

  /** For the output desk, when the output is armed for the chain. */
  wants(output: OutputName): boolean {
    return this.#endS(output) > this.#nowS()
  }

  /** To be called whenever an output was armed or disarmed, or the wire may have changed. */
  follow(): void {
    const { isLive, isNative } = this.#parts.moment()
    for (const output of OUTPUTS)
      if (this.#parts.isArmed(output)) this.#told.delete(output)
      else if (isLive && isNative) this.#switch(output)
    this.#timer ??= this.#isBusy() ? this.#parts.clock.after(TICK_S, () => this.#tick()) : null
  }

  /** A person arms it: what the chain had switched on is off before. */
  giveUp(output: OutputName): void {
    if (this.#told.get(output)?.on) this.#tell(output, false, 0)
    this.#told.delete(output)
  }

  /** Another chain begins, or none: nothing stays on. */
  release(): void {
    this.#causes.clear()
    this.#standings.clear()
    for (const output of OUTPUTS) if (!this.#parts.isArmed(output)) this.giveUp(output)
  }

  answered({ command, ok, reason }: { command: number; ok: boolean; reason: string }): void {
    for (const [output, told] of this.#told) {
      if (told.command !== command) continue
      this.#told.set(output, { ...told, isAnswered: true })
      if (!ok) this.#refused(output, `The board refuses the ${output} (${reason}).`)
    }
  }

  standing(block: string): TapStanding {
    return this.#standings.get(block) ?? standingOf(0, 0, null)
  }

  #refused(output: OutputName, trouble: string): void {
    for (const block of this.#causes.get(output)?.keys() ?? []) {
      const { sent, dropped } = this.standing(block)
      this.#standings.set(block, standingOf(sent, dropped, trouble))
    }
  }

  #note(block: string, trouble: string | null): void {
    const { sent, dropped } = this.standing(block)
    const isDone = trouble === null
    this.#standings.set(
      block,
      standingOf(sent + Number(isDone), dropped + Number(!isDone), trouble),
    )
  }

  #whyNot(output: OutputName, endS: number): string | null {
    const { isLive, isNative } = this.#parts.moment()
    if (!isLive) return 'No angle arrives: no output is switched.'
    if (!isNative) return 'Only a board that speaks the native protocol has outputs.'
    if (!(endS > this.#nowS())) return `The ${output} was asked for too late: its time was over.`
    if (output === 'relay' && !this.#parts.isArmed('relay'))
      return 'The relay is not armed for the chain: a person arms it on the Sensor page.'
    return null
  }

  #switch(output: OutputName): void {
    const nowS = this.#nowS()
    const endS = this.#endS(output)
    const wanted = endS > nowS && output !== 'relay'
    const told = this.#told.get(output)
    if (wanted && !(told?.on && endS <= told.endS + LONGER_S)) this.#tell(output, true, endS)
    else if (!wanted && told?.on) this.#tell(output, false, 0)
    else if (told !== undefined && !told.isAnswered && nowS - told.atS >= ANSWERED_WITHIN_S)
      this.#tellAgain(output, told)
  }

  #tellAgain(output: OutputName, told: Told): void {
    if (told.tries >= TRIES_MAX) this.#told.set(output, { ...told, isAnswered: true })
    else this.#tell(output, told.on, told.endS, told.tries + 1)
  }

  #tell(output: OutputName, on: boolean, endS: number, tries = 1): void {
    const nowS = this.#nowS()
    const command = FIRST_COMMAND + (this.#sent++ % COMMANDS)
    const leftMs = Math.min(LIFE_MAX_MS, Math.max(1, Math.round((endS - nowS) * 1000)))
    const timeToLiveMs = on ? leftMs : 1
    this.#parts.send(encodeSentence({ kind: 'set-output', command, output, on, timeToLiveMs }))
    this.#told.set(output, { command, on, endS, atS: nowS, tries, isAnswered: false })
  }

  /** Until when it is wanted; long ago when nobody wants it. */
  #endS(output: OutputName): number {
    return Math.max(...(this.#causes.get(output)?.values() ?? []), Number.NEGATIVE_INFINITY)
  }

  #isBusy(): boolean {
    return OUTPUTS.some((output) => {
      const told = this.#told.get(output)
      return told !== undefined && (told.on || !told.isAnswered)
    })
  }

  #tick(): void {
    this.#timer = null
    this.follow()
  }

  #nowS(): number {
    return this.#parts.clock.nowS()
  }
}

const standingOf = (sent: number, dropped: number, trouble: string | null): TapStanding => ({
  ...{ sent, dropped, trouble },
  waiting: 0,
  refused: 0,
})
