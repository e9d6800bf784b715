import type { BendMessage } from './blocks/bend-record.ts'
import type { WireState } from './link/link.ts'
import type { BendTrace, NewBend } from './messages/bends.ts'
import type { BenchAct, OperatorAct } from './messages/commands.ts'
import type { LiveMessage, StationState } from './messages/live.ts'
import type { Job, Sensor, Setup, StoredSetup } from './messages/setup.ts'
import { confirm, ifAllowed, lineFor, refuseInMidBend } from './station/acts.ts'
import { workBench } from './station/bench-door.ts'
import { promptBench } from './station/bench-prompt.ts'
import { BendDesk } from './station/bend-desk.ts'
import { makeBoardWatch } from './station/board-watch.ts'
import { ChainDesk } from './station/chain-desk.ts'
import { makeChainDoor } from './station/chain-door.ts'
import { AS_BOARD_SAYS, readsAlike } from './station/chain-for.ts'
import { type ChainRun, startChain } from './station/chain-run.ts'
import { IDENTIFY, makeDeviceEar } from './station/device-ear.ts'
import { cutOffSentence, leftOpenBend, leftOpenSentence, NO_LINES } from './station/left-open.ts'
import { makeLiveOut } from './station/live-out.ts'
import { makeMemory } from './station/memory.ts'
import { makeNotesOnDisk } from './station/notes-on-disk.ts'
import { OutputDesk } from './station/output-desk.ts'
import { ReadoutDesk } from './station/readout-desk.ts'
import { readoutMoment } from './station/readout-moment.ts'
import { REFERENCE_PIECE } from './station/record.ts'
import { traceOf } from './station/rerun.ts'
import { makeSaveQueues } from './station/save-queue.ts'
import { demandOwnName } from './station/shared.ts'
import { makeSpringbackDoor } from './station/springback-door.ts'
import { diskOf, stateOf } from './station/state-of.ts'
import { type StationParts, TICK_S } from './station/station-parts.ts'
import { TapDesk } from './station/taps/tap-desk.ts'
import { wallTime } from './station/wall-time.ts'
import { wholeSetup } from './station/whole-setup.ts'
import { makeWireWatch } from './station/wire-watch.ts'
import type { OutputDoor, StationDoor, TeachingDoor } from './web/station-door.ts'

/** One bender: where its link, chain, bend watch and history meet. */
export class Station implements StationDoor {
  readonly #parts: StationParts
  readonly #wire
  readonly #board
  readonly #memory
  readonly #queue
  readonly #notes = makeNotesOnDisk()
  readonly #out
  readonly #desk: BendDesk
  readonly #output
  readonly readout: ReadoutDesk
  readonly teaching: TeachingDoor
  readonly springback
  readonly #chains: ChainDesk
  readonly chain
  readonly #ear
  readonly #taps
  readonly #recorded = new Set<(bend: NewBend) => void>()
  #chain: ChainRun
  #sensor: Sensor = AS_BOARD_SAYS
  /** The bend that was cut off last, as a sentence, until the next one begins. */
  #cutOff: string | null = null
  #isTakenUp = false
  #wasLive = false
  #isDirty = false
  #tick: { cancel(): void } | null = null

  constructor(parts: StationParts) {
    const { history, link, place, shared } = parts
    this.#parts = parts
    this.#wire = makeWireWatch(link.state())
    this.#board = makeBoardWatch(parts.clock, this.#wire)
    this.#ear = makeDeviceEar({
      link,
      wire: this.#wire,
      isBench: () => this.#parts.bench !== null,
      pedal: () => ifAllowed(() => this.act({ act: 'pedal' })),
      answered: (answer) => this.#output.answered(answer),
    })
    this.#memory = makeMemory(history, place)
    this.#queue = (shared?.queues ?? makeSaveQueues()).at(history, () => this.#desk.isOpen())
    this.#out = makeLiveOut(() => this.state())
    this.readout = this.#makeReadout()
    this.teaching = this.#makeTeaching()
    this.#chains = new ChainDesk(parts, {
      sensor: () => this.#sensor,
      desk: () => this.#desk,
      changed: () => this.#restartChain(this.#sensor, 'another chain'),
    })
    this.chain = makeChainDoor({ ...parts, desk: this.#chains, running: () => this.#chain })
    this.#taps = new TapDesk(parts, () => this.#output.chain)
    this.springback = makeSpringbackDoor(history, () => this.#desk)
    this.#chain = this.#startChain(AS_BOARD_SAYS)
    this.#desk = this.#makeDesk()
    this.#output = new OutputDesk({
      clock: parts.clock,
      send: (line) => link.send(line),
      moment: () => ({
        cue: this.#desk.progress().cue,
        isLive: this.#wire.state().state === 'live',
        isNative: this.#ear.isIntroduced(),
      }),
      changed: () => this.#changed(),
    })
  }

  get output(): OutputDoor {
    return this.#output.door()
  }

  #makeDesk(): BendDesk {
    const { clock, history, software, shared } = this.#parts
    return new BendDesk({
      ...{ history, shop: shared?.shop },
      wallMsAt: wallTime(clock),
      circumstances: () => ({
        chainRevision: this.#chain.revision,
        firmware: this.#wire.device()?.firmware ?? null,
        software,
        simulated: this.#ear.state().simulated,
        readout: this.readout.inForce(),
      }),
      tell: (line) => this.#chain.tell(line),
      raw: () => this.#chain.record(),
      save: this.#queue.save,
      trouble: this.#notes.refused,
      nextNumber: () => history.count() + this.#queue.waiting() + 1,
      bendBegan: this.#out.newTrace,
      recorded: (bend) => this.#afterRecord(bend),
    })
  }

  #makeReadout(): ReadoutDesk {
    return new ReadoutDesk({
      ...this.#parts,
      moment: () =>
        readoutMoment({
          ...{ desk: this.#desk, wire: this.#wire, ear: this.#ear },
          ...{ board: this.#board, sensor: this.#sensor },
        }),
      recalibrated: (setup) => {
        this.#takeSetup(setup)
        this.#changed()
      },
      checked: () => this.#chain.tell({ act: 'close', reason: REFERENCE_PIECE }),
    })
  }

  #makeTeaching(): TeachingDoor {
    return {
      isBending: () => this.#desk.isOpen(),
      retaught: () => {
        // The model is made from the history: what still waits for the disk belongs into it.
        this.#queue.flush()
        this.#desk.learnAnew(this.#ear.state().simulated)
        this.#changed()
      },
    }
  }

  /** Opens the wire and takes up where the daemon was left. */
  start(): void {
    const { link } = this.#parts
    this.#notes.attempt(() => this.#takeUp())
    link.onState((state) => this.#onWire(state))
    link.onLines((lines) => {
      this.#board.hear(lines)
      this.#chain.feed(lines)
      this.#settle()
    })
    link.open()
    this.#onTick()
  }

  /** Closes an open bend as it stands, then the wire. The history is its owner's to close. */
  async stop(): Promise<void> {
    this.#tick?.cancel()
    this.#output.disarm(null)
    if (this.#desk.isOpen()) this.#chain.tell({ act: 'close', reason: 'daemon stopped' })
    this.#desk.settleBooks()
    this.#queue.flush()
    await this.#taps.close()
    await this.#parts.link.close()
  }

  /** Told of each bend as it is handed to the history. */
  onRecorded(listener: (bend: NewBend) => void): void {
    this.#recorded.add(listener)
  }

  state(): StationState {
    const { software, bench, wire, catalogue, keeping, place } = this.#parts
    return stateOf({
      ...{ software, catalogue, keeping, name: place?.name },
      bench: bench?.state() ?? null,
      desk: this.#desk,
      ear: this.#ear.state(),
      link: this.#wire.state(),
      readout: this.readout,
      output: this.#output.state(),
      disk: diskOf(this.#queue, this.#notes),
      leftOpen: this.#cutOff,
      chain: this.#chains.trouble(),
      tapNotices: this.#taps.notices(),
      boardNotices: this.#board.notices(this.#sensor, wire?.()),
    })
  }

  hello(): Extract<LiveMessage, { type: 'hello' }> {
    const { clock } = this.#parts
    return { type: 'hello', state: this.state(), nowS: clock.nowS(), trace: this.#out.trace() }
  }

  subscribe(listener: (message: LiveMessage) => void): () => void {
    return this.#out.subscribe(listener)
  }

  act({ act, checkedDeg }: OperatorAct): void {
    const line = lineFor(act, {
      checkedDeg,
      phase: this.#desk.progress().phase,
      result: this.#desk.result(),
      hasSetup: this.#desk.setup() !== null,
      hasJob: this.#desk.job() !== null,
      hasSignal: this.#wire.state().state === 'live',
    })
    if (line !== null) this.#chain.tell(line)
    else if (this.#desk.goAgain()) this.#output.operatorSpoke()
    this.#changed()
    confirm(act, this.#desk.result())
  }

  useSetup(setup: Setup): StoredSetup {
    demandOwnName(this.#parts.place?.name, setup)
    refuseInMidBend(this.#desk, 'The set-up')
    this.#board.check(setup.sensor, this.#parts.wire?.())
    this.#takeUp()
    const stored = this.#parts.history.addSetup(wholeSetup(setup))
    // The model is made from the history: what still waits for the disk belongs into it.
    this.#queue.flush()
    this.#takeSetup(stored)
    this.#notes.attempt(() => this.#memory.keepSetup(stored))
    this.#changed()
    return stored
  }

  useJob(job: Job): void {
    refuseInMidBend(this.#desk, 'What to bend')
    // The lead is made from the history: what still waits for the disk belongs into it.
    this.#queue.flush()
    this.#desk.useJob(job)
    this.#notes.attempt(() => this.#memory.keepJob(job))
    this.#changed()
  }

  /** Another wire, put in place by `swap`, with the chain that reads it. */
  rewire(swap: () => void): void {
    refuseInMidBend(this.#desk, 'The wire')
    this.#output.disarm('The output was disarmed: the wire was changed.')
    swap()
    this.#wire.forget()
    this.#restartChain(this.#sensor, 'another wire')
    this.#changed()
  }

  bench(act: BenchAct): void {
    workBench(this.#parts.bench, act)
    this.#changed()
  }

  trace(bendId: number): Promise<BendTrace | null> {
    const { history, catalogue } = this.#parts
    return traceOf(history, catalogue.blocks, bendId)
  }

  #takeSetup(stored: StoredSetup): void {
    const { sensor, tube } = stored.setup
    const isOther = !readsAlike(sensor, this.#sensor, this.#parts.wire?.())
    if (this.readout.use(stored) || isOther) {
      // Zero goes with the chain: nobody is to bend on from a datum that is no more.
      this.#restartChain(sensor, isOther ? 'another sensor' : 'another calibration')
    }
    this.#desk.useSetup(stored, this.#ear.state().simulated)
    this.#parts.bench?.useLot(tube.lot)
  }

  #restartChain(sensor: Sensor, reason: string): void {
    this.#chain.tell({ act: 'close', reason })
    this.#output.disarm('The output was disarmed: the chain was changed.')
    this.#chain = this.#startChain(sensor)
    this.#isDirty = true
  }

  #startChain(sensor: Sensor): ChainRun {
    const { clock, catalogue } = this.#parts
    this.#sensor = sensor
    this.#ear.beginAnew()
    const file = this.readout.corrected(this.#chains.inForce(sensor, this.#parts.wire?.()))
    const chain = startChain(file, catalogue.blocks, () => clock.nowS(), {
      live: (run) => {
        this.readout.hearAngle(run)
        this.#out.samples(run)
      },
      readout: (run) => this.readout.hearReadout(run),
      taps: this.#taps,
      bend: (message) => this.#onBend(message),
      device: (message) => {
        if (this.#ear.hear(message)) this.#isDirty = true
      },
    })
    this.#parts.link.send(IDENTIFY)
    return chain
  }

  #onBend(message: BendMessage): void {
    if (message.type === 'event' && message.event.kind === 'datum') {
      this.#ear.datumTaken()
      this.#cutOff = null
      this.#output.operatorSpoke()
    }
    this.#desk.hear(message)
    this.#isDirty = true
  }

  #onWire(state: WireState): void {
    this.#wire.wire(state)
    const isLive = state.state === 'live'
    if (state.state === 'waiting') this.#parts.link.send(IDENTIFY)
    if (this.#wasLive && state.state === 'lost') this.#chain.tell({ act: 'link', state: 'lost' })
    if (!this.#wasLive && isLive) this.#chain.tell({ act: 'link', state: 'back' })
    if (isLive || state.state === 'lost') this.#wasLive = isLive
    this.#changed()
  }

  #afterRecord(bend: NewBend): void {
    const job = this.#desk.job()
    if (job !== null) this.#notes.attempt(() => this.#memory.keepJob(job))
    this.#cutOff = cutOffSentence(bend)
    for (const listener of this.#recorded) listener(bend)
  }

  /**
   * What an earlier run left, once and before anything new is written: the bend it was cut off in, and what
   * was to be bent with what. Throws as long as the history cannot be read.
   */
  #takeUp(): void {
    if (this.#isTakenUp) return
    const { history, clock, software } = this.#parts
    const chainRevision = this.#chain.revision
    const left = leftOpenBend({ history, software, chainRevision, wallMs: clock.wallMs() })
    const setup = this.#memory.setup()
    const job = this.#memory.job()
    this.#desk.readAnew()
    this.#isTakenUp = true
    if (left !== null)
      this.#queue.save(left, NO_LINES, (bend) => {
        if (!this.#desk.isOpen()) this.#cutOff = leftOpenSentence(bend)
      })
    if (setup !== null && this.#desk.setup() === null) this.#takeSetup(setup)
    if (job !== null && this.#desk.job() === null) this.#desk.useJob(job)
  }

  #tryDisk(): void {
    this.#takeUp()
    this.#desk.markOpen()
    const job = this.#desk.job()
    if (job !== null) this.#memory.keepJob(job)
  }

  #onTick(): void {
    const { clock } = this.#parts
    const nowS = clock.nowS()
    this.#queue.retry(nowS)
    // A board that was still booting, or a bad line, may have swallowed question or answer.
    if (!this.#ear.isIntroduced()) this.#parts.link.send(IDENTIFY)
    this.#notes.retry(nowS, () => this.#tryDisk())
    this.#changed()
    this.#tick = clock.after(TICK_S, () => this.#onTick())
  }

  #changed(): void {
    this.#isDirty = true
    this.#settle()
  }

  /** After all that may have changed the state: once, however much happened. */
  #settle(): void {
    const desk = this.#desk
    desk.settleBooks()
    this.#chains.settle()
    this.#output.follow()
    this.#chain.trim(desk.isOpen())
    if (this.#chain.isFull() && desk.isOpen())
      this.#chain.tell({ act: 'close', reason: 'open for too long' })
    if (!this.#isDirty) return
    this.#isDirty = false
    desk.keepApart(this.#ear.state().simulated)
    promptBench(this.#parts.bench, desk)
    this.#out.changed()
  }
}
