import type { NoAim } from '../bend/aim.ts'
import type { BendDraft } from '../bend/bend-draft.ts'
import type { CostAim } from '../bend/cost-aim.ts'
import type { CueEvent, CycleEvent } from '../bend/cycle-event.ts'
import { judge } from '../bend/judge.ts'
import type { SetupKnowledge } from '../bend/shop-memory.ts'
import type { BendMessage } from '../blocks/bend-record.ts'
import type { OpenBend } from '../history/history.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import type { NewBend } from '../messages/bends.ts'
import type { Aim, Result } from '../messages/live.ts'
import type { Job, StoredSetup } from '../messages/setup.ts'
import { checkJob } from './check-job.ts'
import { againFrom, aimShown, changeSentence, firstAim, millionths } from './coach.ts'
import type { DeskParts } from './desk-parts.ts'
import { expandedDegOf, goOf, hiddenGoOf, type LetOff, notJudged, type Settled } from './go.ts'
import { makeLead } from './lead.ts'
import { nextOf } from './next-job.ts'
import { AT_REST, afterCueEvent, afterCycleEvent, type Progress } from './progress.ts'
import { isGivenUp, newBend } from './record.ts'
import { makeShop } from './shop.ts'
import { lessonOf } from './two-readings.ts'

/** A second aim is sent again only when the plateau moved it by more than anyone can stop by. */
const AGAIN_STEP_DEG = 0.02

/** What is bent with what, and what the model makes of it. */
interface Task {
  readonly setup: StoredSetup
  readonly job: Job
  readonly known: SetupKnowledge
}

/** Follows the bend in hand: judges each go, says where to go next, makes the record at the end. */
export class BendDesk {
  readonly #parts: DeskParts
  #setup: StoredSetup | null = null
  #job: Job | null = null
  /** What the shop's bends say of this set-up. */
  #known: SetupKnowledge | null = null
  /** What the shop knew then, by its version: another bender may teach it more. */
  #knownAt = 0
  /** People decided otherwise of bends while one was in hand. */
  #isToLearnAnew = false
  /** Whether they were simulated ones. */
  #isKnownSimulated = false
  #aim: CostAim | NoAim | null = null
  #result: Result | null = null
  #progress: Progress = AT_REST
  /** Something was bent since the datum: the bend is open, and marked so on disk. */
  #isOpen = false
  /** What stands on disk of it, or should. */
  #mark: OpenBend | null = null
  /** Where the chain was last told to call the stop. */
  #toldDeg: number | null = null
  /** The same when this go began: a go that settled is told where to go next before it is measured again. */
  #goDeg: number | null = null
  /** When zero was last taken, chain time; null until it was. */
  #datumS: number | null = null
  /** The operator means to go again: said since the last go settled. */
  #goingAgain = false
  /** When the stop was called in this go. */
  #called: CueEvent | null = null
  /** What an angle finder showed of this bend. */
  #checkedDeg: number | null = null
  readonly #lead
  readonly #shop

  constructor(parts: DeskParts) {
    this.#parts = parts
    this.#lead = makeLead(parts.history)
    this.#shop = parts.shop ?? makeShop(parts.history)
  }

  setup(): StoredSetup | null {
    return this.#setup
  }

  job(): Job | null {
    return this.#job
  }

  result(): Result | null {
    return this.#result
  }

  progress(): Progress {
    return this.#progress
  }

  datumS(): number | null {
    return this.#datumS
  }

  /** Lead time of the stop cue for whoever bends now, seconds. */
  leadS(): number {
    return this.#lead.now().leadS
  }

  isOpen(): boolean {
    return this.#isOpen
  }

  /** What to ask the operator where the tube springs otherwise than before; null where it does not. */
  driftSentence(): string | null {
    return this.#known?.drift?.sentence ?? null
  }

  /** Where the angle finder says again and again that the readout is off; null where it does not. */
  gapSentence(): string | null {
    if (this.#setup === null || this.#known === null) return null
    const calibration = this.#parts.circumstances().readout?.calibration?.id ?? null
    const { station } = this.#setup.setup
    return this.#shop.gapSentence(station, calibration, this.#isKnownSimulated)
  }

  /** Why there is no angle to stop at, if there is none. */
  noAimWhy(): string | null {
    return this.#aim !== null && this.#aim.commandedDeg === null ? this.#aim.why : null
  }

  /** Where the chain calls the stop now: for the first go the model's aim, then the tube's own. */
  aim(): Aim | null {
    const first = this.#aim
    if (first === null || first.commandedDeg === null) return null
    const againDeg = this.#result?.bendId === null ? this.#result.againDeg : null
    if (againDeg === null || this.#progress.phase === 'no-datum') return aimShown(first)
    const why = `Again to ${againDeg.toFixed(1)}°, from what this very tube sprang back.`
    return { ...aimShown(first), commandedDeg: againDeg, why }
  }

  /** @throws HistoryError when the bends that the model is made from cannot be read. */
  useSetup(next: StoredSetup, simulated: boolean): void {
    this.#know(next, simulated)
    this.#isKnownSimulated = simulated
    this.#setup = next
    this.#useHands()
    this.#aimAnew()
  }

  /** What the shop's bends have taught, of the kind that is bent now. @throws HistoryError as above. */
  taught() {
    const simulated = this.#isKnownSimulated
    return { memory: this.#shop.taught(simulated), simulated }
  }

  /** The history can say more than when it was read. @throws HistoryError when it cannot be read. */
  readAnew(): void {
    this.#shop.readAnew()
  }

  /**
   * People decided otherwise of bends: the model is made anew, and the aim with it. In mid-bend that waits until the
   * bend is done: nothing is read from the disk under load, and what was foretold of the bend stays.
   *
   * @throws HistoryError
   */
  learnAnew(simulated: boolean): void {
    this.#isToLearnAnew = true
    if (this.#isOpen) return
    this.#shop.readAnew()
    this.#lead.forget()
    if (this.#setup !== null) this.useSetup(this.#setup, simulated)
    this.#isToLearnAnew = false
  }

  #know(setup: StoredSetup, simulated: boolean): void {
    this.#known = this.#shop.know(setup, simulated)
    this.#knownAt = this.#shop.version()
  }

  /**
   * A board says what it is only with its first samples: then, between bends, what its own kind taught is taken. So
   * is what other benders have taught since.
   */
  keepApart(simulated: boolean): void {
    if (this.#setup === null || this.#isOpen) return
    const isKnown = simulated === this.#isKnownSimulated && this.#shop.version() === this.#knownAt
    if (isKnown && !this.#isToLearnAnew) return
    try {
      if (this.#isToLearnAnew) this.learnAnew(simulated)
      else this.useSetup(this.#setup, simulated)
    } catch (error) {
      this.#parts.trouble(error)
    }
  }

  /** @throws DomainError `LOSS_RATIO`, `TOLERANCE_CLASS`; the job before stays then. */
  useJob(next: Job): void {
    checkJob(next)
    this.#job = next
    this.#useHands()
    this.#aimAnew()
  }

  /** The stop is called as far ahead as whoever bends now has needed. */
  #useHands(): void {
    const [setup, job] = [this.#setup, this.#job]
    if (setup === null || job === null) return
    const { station } = setup.setup
    try {
      this.#lead.use({ operator: job.operator, station, simulated: this.#isKnownSimulated })
    } catch (error) {
      this.#parts.trouble(error)
    }
  }

  /** Said while a bend stands under its angle. @returns false at any other moment: it means nothing then. */
  goAgain(): boolean {
    if (this.#progress.phase !== 'settled' || this.#result?.againDeg == null) return false
    this.#goingAgain = true
    this.#result = { ...this.#result, goingAgain: true }
    return true
  }

  hear(message: BendMessage): void {
    if (message.type === 'event') this.#onCycle(message.event)
    else if (message.type === 'cue') this.#onCue(message.event)
    else if (message.type === 'checked') this.#checkedDeg = message.checkedDeg
    else this.#finish(message.draft)
  }

  /**
   * Marks the open bend on disk, so that a crash does not make it unseen. To be called again when a disk that
   * refused the mark takes it.
   *
   * @throws HistoryError when it still does not.
   */
  markOpen(): void {
    if (this.#isOpen && this.#mark !== null) this.#parts.history.openBend(this.#mark)
  }

  /** Between bends nothing may stay marked open: what was begun was no bend. */
  settleBooks(): void {
    const { phase } = this.#progress
    if (!this.#isOpen || !(phase === 'no-datum' || phase === 'seated')) return
    this.#isOpen = false
    try {
      this.#parts.history.closeOpenBend()
    } catch (error) {
      this.#parts.trouble(error)
    }
  }

  #task(): Task | null {
    const [setup, job, known] = [this.#setup, this.#job, this.#known]
    return setup !== null && job !== null && known !== null ? { setup, job, known } : null
  }

  #aimAnew(): void {
    const task = this.#task()
    this.#aim = task === null ? null : firstAim(task.known, task.job, this.#lead.now().stopSdDeg)
    if (this.#aim !== null) this.#tellAim(this.#aim.commandedDeg)
  }

  #tellAim(commandedDeg: number | null): void {
    if (this.#job === null) return
    this.#toldDeg = commandedDeg
    const { toleranceDeg } = this.#job
    // Left untold, the stop would be called where the bend before it was to stop.
    this.#parts.tell(
      commandedDeg === null
        ? { act: 'no-aim' }
        : { act: 'aim', commandedDeg, leadS: this.leadS(), toleranceDeg },
    )
  }

  #onCycle(event: CycleEvent): void {
    this.#progress = afterCycleEvent(this.#progress, event)
    if (event.kind === 'datum') this.#onDatum(event.timeS)
    if (event.kind === 'bending') this.#onBending(event)
    if (event.kind === 'let-off') this.#onLetOff(event)
    if (event.kind === 'settled') this.#onSettled(event)
    if (event.kind === 'taken-out') this.#parts.tell({ act: 'close', reason: 'tube taken out' })
  }

  #onDatum(timeS: number): void {
    this.#result = null
    this.#goingAgain = false
    this.#called = null
    this.#checkedDeg = null
    this.#datumS = timeS
    this.#parts.bendBegan()
    this.#aimAnew()
  }

  #onBending({ stroke, timeS }: Extract<CycleEvent, { kind: 'bending' }>): void {
    if (stroke === 1) {
      this.#goingAgain = false
      this.#called = null
      this.#goDeg = this.#toldDeg
    }
    const task = this.#task()
    if (this.#isOpen || task === null) return
    this.#isOpen = true
    this.#mark = {
      startedAt: isoWithOffset(this.#parts.wallMsAt(timeS)),
      setupId: task.setup.id,
      job: task.job,
      simulated: this.#parts.circumstances().simulated,
      leadS: this.leadS(),
    }
    try {
      this.markOpen()
    } catch (error) {
      this.#parts.trouble(error)
    }
  }

  #onCue(event: CueEvent): void {
    this.#progress = afterCueEvent(this.#progress, event)
    if (event.cue === 'stop') this.#called ??= event
  }

  #onLetOff(event: LetOff): void {
    const [commandedDeg, called, datumS] = [this.#goDeg, this.#called, this.#datumS ?? 0]
    this.#result = notJudged(hiddenGoOf(event, { commandedDeg, called, datumS }))
  }

  #onSettled(event: Settled): void {
    const task = this.#task()
    if (task === null) return
    const { verdict, errorDeg } = judge(event.releasedDeg, task.job)
    const againDeg =
      verdict === 'under' ? againFrom(task.known.model, event, task.job.wantedDeg) : null
    const [commandedDeg, called, datumS] = [this.#goDeg, this.#called, this.#datumS ?? 0]
    this.#result = {
      bendId: null,
      go: goOf(event, { commandedDeg, called, datumS }),
      verdict,
      errorDeg: millionths(errorDeg),
      expandedUncertaintyDeg: expandedDegOf(event, this.#parts.circumstances().readout),
      againDeg,
      goingAgain: this.#goingAgain && againDeg !== null,
      learnedWhy: null,
    }
    if (againDeg !== null && !(Math.abs(againDeg - (this.#toldDeg ?? 0)) <= AGAIN_STEP_DEG))
      this.#tellAim(againDeg)
  }

  #finish(draft: BendDraft): void {
    const task = this.#task()
    if (task === null) return
    const { setup, job, known } = task
    const { raw, save, wallMsAt, circumstances, recorded } = this.#parts
    const checkedDeg = this.#checkedDeg
    const bend = newBend(
      draft,
      { ...circumstances(), setup, job, model: known.model, leadS: this.leadS(), checkedDeg },
      wallMsAt,
    )
    this.#isOpen = false
    this.#lead.hear(bend)
    // What was judged when it settled may not hold: counts were lost since, say.
    if (bend.verdict === 'incomplete' && this.#result !== null)
      this.#result = { ...this.#result, verdict: 'incomplete', errorDeg: null, againDeg: null }
    try {
      this.#teach(bend, task)
    } catch (error) {
      // Whatever becomes of the model, the bend goes on record.
      this.#parts.trouble(error)
    }
    const shown = this.#result
    save(bend, raw(), ({ id }) => {
      // A bend that waited for the disk may be saved when another is already shown.
      if (this.#result === shown && shown !== null) this.#result = { ...shown, bendId: id }
    })
    recorded(bend)
  }

  /** The model, the next aim, and what the page says of both. */
  #teach(bend: NewBend, { setup, job }: Task): void {
    const before = this.#aim
    const apartWhy = this.#learn(bend, setup)
    // A bend that came to nothing is made again, under its own number.
    const isUnfinished = bend.verdict === 'incomplete' && bend.releasedFrom !== 'unknown'
    const cameToNothing = isUnfinished || isGivenUp(bend.closedBy)
    if (!cameToNothing) this.#job = nextOf(job)
    this.#aimAnew()
    const learnedWhy =
      bend.notLearnedWhy ?? apartWhy ?? changeSentence(before, this.#aim, job.wantedDeg)
    if (this.#result !== null) this.#result = { ...this.#result, learnedWhy }
  }

  /** @returns why the bend was set apart, if it was. */
  #learn(bend: NewBend, setup: StoredSetup): string | null {
    const lesson = lessonOf(bend, this.#parts.nextNumber())
    if (lesson === null) return null
    const apartWhy = this.#shop.teach(setup, lesson)
    this.#know(setup, this.#isKnownSimulated)
    return apartWhy
  }
}
