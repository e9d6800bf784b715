import { createReadStream, type ReadStream } from 'node:fs'
import { MAX_LINE_BYTES } from '../../firmware-protocol/codec/line-splitter.ts'
import { makeAnnouncer } from './announcer.ts'
import { type LineReader, readLines, withoutCr } from './line-reader.ts'
import type { Clock, Link, ReceivedLine, WireState } from './link.ts'
import { makeReplayClock, readReplayLine } from './replay-line.ts'

export interface ReplayLinkOptions {
  readonly file: string
  readonly clock: Clock
  /** `original` takes as long as it took; `fast` gives the same arrival times as quickly as it can. */
  readonly pace: 'original' | 'fast'
}

/** Arrival time and sender stand before the text in a record's lines: `12345.678901234\td\t`. */
const PREFIX_MAX_BYTES = 32
/** So many lines at most before others get a turn. */
const BATCH_MAX = 256

/** A file of lines as a link: lines as a device sent them, or a bend's raw record with both sides' lines. */
export class ReplayLink implements Link {
  readonly onLines: Link['onLines']
  readonly onState: Link['onState']
  readonly #options: ReplayLinkOptions
  readonly #announcer: ReturnType<typeof makeAnnouncer>
  #reader: LineReader | null = null
  #file: ReadStream | null = null
  #wake: (() => void) | null = null
  #isClosed = false
  #batch: ReceivedLine[] = []

  constructor(options: ReplayLinkOptions) {
    this.#options = options
    this.#announcer = makeAnnouncer(options.file)
    this.onLines = this.#announcer.onLines
    this.onState = this.#announcer.onState
  }

  open(): void {
    void this.#play()
  }

  async close(): Promise<void> {
    this.#end('The daemon has closed the file.', '')
  }

  /** There is no one in a file to send to. */
  send(): boolean {
    return false
  }

  state(): WireState {
    return { ...this.#announcer.state(), overlong: this.#reader?.overlong() ?? 0 }
  }

  judged(): void {}

  async #play(): Promise<void> {
    const { file } = this.#options
    this.#file = createReadStream(file)
    const maxBytes = MAX_LINE_BYTES + PREFIX_MAX_BYTES
    this.#reader = readLines(this.#file, { maxBytes, endIsLine: true })
    // An error of the file does not travel down a pipe by itself.
    this.#file.on('error', (error) => this.#reader?.parser.destroy(error))
    this.#file.on('open', () => this.#announcer.set({ state: 'live' }))
    try {
      const count = await this.#giveLines(this.#reader)
      this.#end(
        `The file has ended after ${count} lines.`,
        'Start the replay again to see it anew.',
      )
    } catch (error) {
      const reason = `${file} cannot be read: ${plainWords(error as Error)}.`
      this.#end(reason, 'Give the path of a file of lines.')
    }
  }

  async #giveLines({ parser }: LineReader): Promise<number> {
    const { clock, pace } = this.#options
    const replayClock = makeReplayClock(clock.nowS())
    let count = 0
    for await (const line of parser as AsyncIterable<string>) {
      if (this.#isClosed) break
      const entry = readReplayLine(withoutCr(line))
      if (!entry) continue
      const arrivalS = replayClock(entry)
      const waitS = pace === 'fast' ? 0 : arrivalS - clock.nowS()
      if (waitS > 0 || this.#batch.length >= BATCH_MAX) {
        this.#flush()
        await this.#wait(Math.max(0, waitS))
      }
      const { from, text } = entry
      this.#batch.push(from === 'host' ? { arrivalS, text, from } : { arrivalS, text })
      count++
    }
    this.#flush()
    return count
  }

  #flush(): void {
    const batch = this.#batch
    this.#batch = []
    if (!this.#isClosed) this.#announcer.lines(batch)
  }

  #wait(seconds: number): Promise<void> {
    return new Promise((resolve) => {
      const timer = this.#options.clock.after(seconds, resolve)
      this.#wake = () => {
        timer.cancel()
        resolve()
      }
    })
  }

  #end(reason: string, hint: string): void {
    if (this.#isClosed) return
    this.#isClosed = true
    this.#announcer.set({ state: 'closed', reason, hint })
    this.#file?.destroy()
    this.#reader?.stop()
    this.#wake?.()
  }
}

/** `ENOENT: no such file or directory, open '/x'` without the code and the call. */
const plainWords = ({ message }: Error): string =>
  message.replace(/^[A-Z]+: /, '').replace(/, \w+( '.*')?$/, '')
