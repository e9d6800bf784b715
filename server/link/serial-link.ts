import { makeAnnouncer } from './announcer.ts'
import { backoffS } from './backoff.ts'
import type { Clock, Link, ReceivedLine, WireState } from './link.ts'
import {
  makeNameSearch,
  type NameSearch,
  noteFound,
  noteLost,
  otherName,
  shallLookElsewhere,
} from './name-search.ts'
import { type PortSession, startSession } from './port-session.ts'
import type { PortTrouble } from './port-trouble.ts'
import { type PortWords, serialWords } from './port-words.ts'
import {
  type ListPorts,
  listSerialPorts,
  type OpenPort,
  openSerialPort,
  type PortStream,
} from './serial-port.ts'
import { beginTrial, type Trial, tryLines, WHO_ARE_YOU } from './trial.ts'
import { judgeWire, noteJudged, silentForS } from './wire-watch.ts'

export interface SerialLinkOptions {
  readonly path: string
  readonly baudRate: number
  readonly clock: Clock
  /**
   * Is this the board that we had? Given its serial number. Without this, the board is only looked for under
   * the name it was asked for.
   */
  readonly sameBoard?: (board: string) => boolean
  /** A sensor of another dialect is never spoken to: it would not know what is meant. */
  readonly isMute?: boolean
  /** What is said of the port; as of a serial one without this. */
  readonly words?: PortWords
  readonly openPort?: OpenPort
  readonly listPorts?: ListPorts
  /** From 0 up to 1, for the jitter of the waits. */
  readonly chance?: () => number
}

const LOOK_EVERY_S = 0.25
/** A board on trial is asked for its name this often: it may be booting and deaf. */
const ASK_EVERY_S = 1
/** A port that stays silent is opened anew: some drivers sleep on after an unplug and never say so. */
const REOPEN_AFTER_SILENCE_S = 5

/** A serial port that is opened, watched and opened again for as long as the daemon runs. */
export class SerialLink implements Link {
  readonly onLines: Link['onLines']
  readonly onState: Link['onState']
  readonly #options: Required<Omit<SerialLinkOptions, 'sameBoard'>>
  readonly #sameBoard: ((board: string) => boolean) | null
  readonly #announcer: ReturnType<typeof makeAnnouncer>
  readonly #search: NameSearch
  #session: PortSession | null = null
  #trial: Trial | null = null
  /** Either the next look at an open port or the next attempt to open one. */
  #timer: ReturnType<Clock['after']> | null = null
  #isClosed = false
  #failures = 0
  #openings = 0
  /** Overlong lines of the sessions before this one. */
  #overlongBefore = 0

  constructor({ sameBoard, ...options }: SerialLinkOptions) {
    this.#options = {
      openPort: openSerialPort,
      listPorts: listSerialPorts,
      chance: Math.random,
      isMute: false,
      words: serialWords(options.baudRate),
      ...options,
    }
    this.#sameBoard = sameBoard ?? null
    this.#announcer = makeAnnouncer(options.path)
    this.#search = makeNameSearch(options.path)
    this.onLines = this.#announcer.onLines
    this.onState = this.#announcer.onState
  }

  open(): void {
    void this.#attempt()
  }

  async close(): Promise<void> {
    this.#isClosed = true
    this.#timer?.cancel()
    const session = this.#letGo()
    this.#announcer.set({ state: 'closed', reason: 'The daemon has closed the port.', hint: '' })
    await session?.close()
  }

  send(line: string): boolean {
    if (this.#options.isMute || this.#trial !== null) return false
    return this.#session?.send(line) ?? false
  }

  state(): WireState {
    const overlong = this.#overlongBefore + (this.#session?.overlong() ?? 0)
    return { ...this.#announcer.state(), overlong }
  }

  judged(good: number, refused: number, foreign = 0): void {
    if (!this.#session || this.#trial) return
    noteJudged(this.#session.watch, good, refused, foreign)
    if (good > 0) this.#failures = 0
    this.#tellWire(this.#session)
  }

  /** Opens the port by its own name or, when that is gone, by the one that has come instead. */
  async #attempt(): Promise<void> {
    const trouble = await this.#tryPort(this.#search.named)
    if (!trouble) return
    const other = trouble.kind === 'missing' ? await this.#lookElsewhere() : null
    if (other !== null && (await this.#tryPort(other)) === null) return
    this.#tellTrouble(trouble)
    this.#retryLater()
  }

  async #lookElsewhere(): Promise<string | null> {
    const { clock, listPorts } = this.#options
    if (!(this.#sameBoard && shallLookElsewhere(this.#search, clock.nowS()))) return null
    return otherName(this.#search, await listPorts())
  }

  /** @returns null when the port is open, or nobody wants it any more. */
  async #tryPort(path: string): Promise<PortTrouble | null> {
    if (this.#isClosed) return null
    try {
      const stream = await this.#options.openPort(path, this.#options.baudRate)
      this.#start(path, stream)
      return null
    } catch (error) {
      return this.#options.words.trouble(path, error)
    }
  }

  #start(path: string, stream: PortStream): void {
    const { clock } = this.#options
    const session = startSession(path, stream, clock, {
      onLines: (lines) => this.#take(session, lines),
      onGone: () => this.#lose(session),
    })
    if (this.#isClosed) {
      void session.close()
      return
    }
    this.#session = session
    if (path === this.#search.named) this.#accept(session)
    else this.#trial = beginTrial(clock.nowS())
    this.#look(session)
  }

  #accept(session: PortSession): void {
    this.#trial = null
    this.#openings++
    this.#tellWire(session)
    void this.#noteFound(session)
  }

  async #noteFound(session: PortSession): Promise<void> {
    this.#search.lostAtS = null
    const ports = await this.#options.listPorts()
    if (this.#session !== session) return
    noteFound(
      this.#search,
      ports.filter((port) => port !== session.path),
    )
  }

  #take(session: PortSession, lines: readonly ReceivedLine[]): void {
    if (this.#session !== session) return
    if (!this.#trial) {
      this.#announcer.lines(lines)
      return
    }
    const { kept } = this.#trial
    const isOurs = tryLines(this.#trial, lines, this.#sameBoard ?? (() => false))
    if (isOurs === null) return
    if (isOurs) {
      this.#accept(session)
      this.#announcer.lines(kept)
    } else this.#reject(session)
  }

  #look(session: PortSession): void {
    const { clock } = this.#options
    if (this.#session !== session) return
    if (this.#trial && clock.nowS() > this.#trial.untilS) {
      this.#reject(session)
      return
    }
    if (this.#trial) session.send(WHO_ARE_YOU)
    else if (this.#isAsleep(session)) {
      void this.#reopen()
      return
    }
    const waitS = this.#trial ? ASK_EVERY_S : LOOK_EVERY_S
    this.#timer = clock.after(waitS, () => this.#look(session))
  }

  #isAsleep(session: PortSession): boolean {
    const nowS = this.#options.clock.nowS()
    const verdict = judgeWire(session.watch, nowS)
    this.#tellWire(session)
    return verdict === 'silent' && silentForS(session.watch, nowS) >= REOPEN_AFTER_SILENCE_S
  }

  async #reopen(): Promise<void> {
    await this.#letGo()?.close()
    await this.#attempt()
  }

  /** It was another board: not that name again before ours has been found. */
  #reject(session: PortSession): void {
    this.#search.rejected.add(session.path)
    this.#timer?.cancel()
    void this.#letGo()?.close()
    this.#retryLater()
  }

  #lose(session: PortSession): void {
    if (this.#session !== session) return
    const wasTrial = this.#trial !== null
    this.#timer?.cancel()
    void this.#letGo()?.close()
    noteLost(this.#search, this.#options.clock.nowS())
    if (!wasTrial) this.#announcer.set({ state: 'lost', ...this.#options.words.gone(session.path) })
    this.#retryLater()
  }

  #letGo(): PortSession | null {
    const session = this.#session
    this.#overlongBefore += session?.overlong() ?? 0
    this.#session = null
    this.#trial = null
    return session
  }

  #retryLater(): void {
    if (this.#isClosed) return
    const { clock, chance } = this.#options
    const waitS = backoffS(this.#failures++, chance())
    this.#timer = clock.after(waitS, () => void this.#attempt())
  }

  #tellTrouble({ reason, hint }: PortTrouble): void {
    if (this.#isClosed) return
    noteLost(this.#search, this.#options.clock.nowS())
    this.#announcer.set({ state: this.#openings === 0 ? 'opening' : 'lost', reason, hint })
  }

  #tellWire({ path, watch }: PortSession): void {
    const reconnects = this.#openings - 1
    // A silent port that was opened anew stays silent until a byte comes.
    const isStillSilent = this.#announcer.state().state === 'silent' && watch.bytes === 0
    const verdict = watch.verdict === 'waiting' && isStillSilent ? 'silent' : watch.verdict
    const told = this.#options.words.wire(verdict, path)
    this.#announcer.set({ source: path, state: verdict, ...told, reconnects })
  }
}
