import { type Budget, liveBudget, type Readout, releasedBudget } from '../bend/uncertainty.ts'
import type { ReadoutRun } from '../blocks/calibration.ts'
import type { LiveRun } from '../blocks/live-feed.ts'
import { withAxes } from '../blocks/shipped/with-axes.ts'
import { withCalibration } from '../blocks/shipped/with-calibration.ts'
import type { ChainFile } from '../chain/chain-file.ts'
import type { History } from '../history/history.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import type { Clock } from '../link/link.ts'
import type { LinkState, Notice, Phase } from '../messages/live.ts'
import type {
  Axes,
  Calibration,
  CalibrationAsk,
  CalibrationFit,
  Capture,
  Check,
  CheckAsk,
  CheckChart,
  NewReadoutEntry,
  ReadoutState,
  ReferencePiece,
  ReferencePieceAsk,
  SixPositions,
  SixPositionsAsk,
} from '../messages/readout.ts'
import type { Sensor } from '../messages/sensor.ts'
import type { StoredSetup } from '../messages/setup.ts'
import { type ReadoutDoor, Refused } from '../web/station-door.ts'
import { axesOf, axesParametersOf } from './axes-entry.ts'
import { asFoundIn, fitOf, parametersOf, shareOf } from './calibration-entry.ts'
import { readsAlike } from './chain-for.ts'
import { chartOf, checkOf } from './check-entry.ts'
import type { ReadoutInForce } from './readout-facts.ts'
import { readoutNotices, wayNotices } from './readout-notices.ts'
import {
  doubtOf,
  type KnownOfReadout,
  type ReadoutStanding,
  standingOf,
} from './readout-standing.ts'
import { makeReadoutWatch, type StillReading } from './readout-watch.ts'

/** A check is due once a week unless a shop says otherwise: common practice, no source. */
const EVERY_DAYS = 7
/** Entries looked through for the newest of this sensor: years of daily checks. */
const LOOKED_THROUGH_MAX = 500
const TURN_DEG = 360

/** How the station is when it is asked something about its readout. */
export interface ReadoutMoment {
  readonly setup: StoredSetup | null
  readonly phase: Phase
  readonly isOpen: boolean
  readonly device: LinkState['device']
  readonly simulated: boolean
  /** Counts a turn of an encoder, or a g of an accelerometer; null until it is known. */
  readonly counts: number | null
  /** What an accelerometer's axes show at rest; null when none came of late. */
  readonly gravity: Axes | null
  /** Where the next bend goes; null without a job. */
  readonly wantedDeg: number | null
}

export interface ReadoutParts {
  readonly history: Pick<History, 'addReadoutEntry' | 'readoutEntry' | 'readoutEntries'>
  readonly clock: Pick<Clock, 'nowS' | 'wallMs'>
  readonly software: string
  moment(): ReadoutMoment
  /** Another calibration is in force: the chain begins anew with it. */
  recalibrated(setup: StoredSetup): void
  /** The bend watch takes turning a reference piece for a bend: that is over. */
  checked(): void
}

const NOTHING: KnownOfReadout = {
  calibration: null,
  axes: null,
  piece: null,
  check: null,
  doubt: null,
}

/** Which entries correct the readout. */
const correctionOf = ({ axes, calibration }: KnownOfReadout) => `${axes?.id} ${calibration?.id}`

const refuse = (code: string, sentence: string): never => {
  throw new Refused(code, sentence)
}

/** Counts of an encoder on the die with the same step: behind a gear, or of the arctangent of two axes. */
function countsOfDie(counts: number, { mount, turnDeg = TURN_DEG }: Sensor): number {
  const isTilt = mount === 'swing-tilt' || mount === 'leg-tilt'
  return isTilt ? 2 * Math.PI * counts : (counts * TURN_DEG) / turnDeg
}

/** The readout of the sensor in use: what it is calibrated by, when it was checked, how uncertain it is. */
export class ReadoutDesk implements ReadoutDoor {
  readonly #parts: ReadoutParts
  readonly #startedMs: number
  /** Before calibration and datum; and as the page shows it. */
  readonly #raw = makeReadoutWatch()
  readonly #angle = makeReadoutWatch()
  #known: KnownOfReadout = NOTHING
  /** The entries by which the running chain corrects. */
  #correctsBy = correctionOf(NOTHING)

  constructor(parts: ReadoutParts) {
    this.#parts = parts
    this.#startedMs = parts.clock.wallMs()
  }

  /** Takes up what is known of a set-up's readout. @returns whether the chain corrects by another calibration. */
  use({ setup }: StoredSetup): boolean {
    this.#known = this.#knownOf(setup)
    return this.#correctsBy !== correctionOf(this.#known)
  }

  /** The chain that begins now, corrected by what is in force. */
  corrected(file: ChainFile): ChainFile {
    this.#raw.clear()
    this.#angle.clear()
    this.#correctsBy = correctionOf(this.#known)
    const { axes, calibration } = this.#known
    const upright = withAxes(file, axes && axesParametersOf(axes))
    return withCalibration(upright, calibration && parametersOf(calibration))
  }

  hearReadout({ timeS, readoutDeg, quality }: ReadoutRun): void {
    this.#raw.add(timeS, readoutDeg, quality)
  }

  hearAngle({ timeS, angleDeg, quality }: LiveRun): void {
    this.#angle.add(timeS, angleDeg, quality)
  }

  inForce(): ReadoutInForce {
    const { calibration, axes, check } = this.#known
    const { standing, why } = this.#standing()
    return {
      ...{ calibration, axes, check, standing, why },
      expandedDeg: (releasedDeg, seDeg) => this.releasedUncertaintyDeg(releasedDeg, seDeg),
    }
  }

  /** What is the matter with it, as long as it is. */
  notices(): Notice[] {
    const { phase } = this.#parts.moment()
    return [...readoutNotices(this.#standing()), ...wayNotices(phase, this.#angle.newest())]
  }

  /** Of the live angle where the next bend goes, or at the end of what is calibrated; null: not known. */
  liveUncertainty(): (Budget & { readonly angleDeg: number }) | null {
    const { wantedDeg } = this.#parts.moment()
    const angleDeg = wantedDeg ?? this.#known.calibration?.spanDeg ?? 0
    const readout = this.#readoutAt(angleDeg)
    return readout && { ...liveBudget(readout), angleDeg }
  }

  releasedUncertaintyDeg(releasedDeg: number, plateauSeDeg: number): number | null {
    const readout = this.#readoutAt(releasedDeg)
    return readout && releasedBudget(readout, plateauSeDeg).expandedDeg
  }

  state(): ReadoutState {
    const budget = this.liveUncertainty()
    return {
      ...this.#known,
      ...this.#standing(),
      uncertainty: budget && {
        angleDeg: budget.angleDeg,
        lines: budget.components.map(({ degreesOfFreedom, ...line }) => ({
          ...line,
          degreesOfFreedom: Number.isFinite(degreesOfFreedom) ? degreesOfFreedom : null,
        })),
        standardDeg: budget.standardDeg,
        coverage: budget.coverage,
        expandedDeg: budget.expandedDeg,
      },
    }
  }

  capture(): Capture {
    const { meanDeg, sdDeg, samples } = this.#still(this.#raw)
    return { readoutDeg: meanDeg, readoutSdDeg: sdDeg, samples }
  }

  tryCalibration(ask: CalibrationAsk): CalibrationFit {
    this.#setup()
    return fitOf(ask, this.#hasFixedZero())
  }

  calibrate(ask: CalibrationAsk): Calibration {
    const { sensor } = this.#setup()
    this.#refuseInMidBend()
    const fit = this.tryCalibration(ask)
    const { who, gauge, toleranceDeg, temperatureC } = ask
    const entry = this.#enter({
      kind: 'calibration',
      ...this.#every(who),
      ...{ sensor, firmware: this.#firmware() },
      gauge,
      toleranceDeg,
      hasFixedZero: this.#hasFixedZero(),
      ...(temperatureC !== undefined && { temperatureC }),
      ...asFoundIn(ask, this.#known.calibration),
      ...fit,
    })
    this.#parts.recalibrated(this.#stored())
    return entry
  }

  captureAxes(): Axes {
    const sentence = 'No axes are arriving: this needs an accelerometer, and a live wire.'
    return this.#parts.moment().gravity ?? refuse('no-signal', sentence)
  }

  calibrateAxes(ask: SixPositionsAsk): SixPositions {
    const { sensor } = this.#setup()
    this.#refuseInMidBend()
    const entry = this.#enter({
      kind: 'six-positions',
      ...this.#every(ask.who),
      ...{ sensor, firmware: this.#firmware() },
      ...axesOf(ask),
    })
    this.#parts.recalibrated(this.#stored())
    return entry
  }

  addPiece({ everyDays = EVERY_DAYS, ...ask }: ReferencePieceAsk): ReferencePiece {
    return this.#enter({ kind: 'reference-piece', ...this.#every(ask.who), ...ask, everyDays })
  }

  check({ who, piece: number, temperatureC }: CheckAsk): Check {
    const { sensor } = this.#setup()
    const piece = this.#piece(number)
    if (this.#parts.moment().phase === 'no-datum')
      refuse('no-datum', 'There is no zero to read from: seat the piece and set the datum first.')
    const reading = this.#still(this.#angle)
    if (!reading.isGood)
      refuse('no-datum', 'The angle is uncertain: seat the piece and set the datum again.')
    const entry = this.#enter({
      ...this.#every(who),
      ...(temperatureC !== undefined && { temperatureC }),
      ...checkOf({
        piece,
        reading,
        sensor,
        calibration: this.#known.calibration?.id ?? null,
        readout: this.#readoutAt(piece.knownDeg),
      }),
    })
    this.#parts.checked()
    return entry
  }

  chart(number: number): CheckChart {
    const { station } = this.#setup()
    const checks = this.#parts.history.readoutEntries({
      ...{ station, kind: 'check', limit: LOOKED_THROUGH_MAX },
    })
    return chartOf(this.#piece(number), checks)
  }

  #piece(number: number): ReferencePiece {
    const piece = this.#parts.history.readoutEntry(number)
    if (piece?.kind === 'reference-piece' && piece.station === this.#setup().station) return piece
    return refuse('no-such-piece', `This bender has no reference piece number ${number}.`)
  }

  #still(watch: ReturnType<typeof makeReadoutWatch>): StillReading {
    const reading = watch.read(this.#parts.clock.nowS())
    if (reading === 'no-signal')
      return refuse('no-signal', 'No steady degrees are arriving: look at the sensor and its wire.')
    if (reading === 'not-still')
      return refuse('not-still', 'The readout does not stand still: hold the die, wait a second.')
    return reading
  }

  #refuseInMidBend(): void {
    if (this.#parts.moment().isOpen)
      refuse('not-now', 'The calibration cannot change in mid-bend: accept or abandon it first.')
  }

  #firmware(): string | null {
    return this.#parts.moment().device?.firmware ?? null
  }

  #stored(): StoredSetup {
    return (
      this.#parts.moment().setup ??
      refuse('no-setup', 'Choose a set-up first: a readout is that of one bender and sensor.')
    )
  }

  #setup(): StoredSetup['setup'] {
    return this.#stored().setup
  }

  #every(who: string) {
    const { clock, software } = this.#parts
    return {
      schema: 1 as const,
      at: isoWithOffset(clock.wallMs()),
      station: this.#setup().station,
      who,
      software,
      simulated: this.#parts.moment().simulated,
    }
  }

  /** Entered, then known: what the disk refused is not in force. */
  #enter<E extends NewReadoutEntry>(entry: E) {
    const added = this.#parts.history.addReadoutEntry(entry)
    this.#known = this.#knownOf(this.#setup())
    return added as Extract<typeof added, { kind: E['kind'] }>
  }

  /** The newest of each kind for this bender, and of those that depend on it, for this sensor. */
  #knownOf({ station, sensor }: StoredSetup['setup']): KnownOfReadout {
    const { history } = this.#parts
    const limit = LOOKED_THROUGH_MAX
    const ofSensor = (entry: { readonly sensor: Sensor }) => readsAlike(entry.sensor, sensor)
    const all = <K extends 'calibration' | 'six-positions' | 'check'>(kind: K) =>
      history.readoutEntries({ station, kind, limit }).filter(ofSensor)
    const [axes = null] = all('six-positions')
    const [calibration = null] = all('calibration')
    const checks = all('check')
    return {
      axes,
      // Axes that were calibrated since show another readout: what was made from the old one is void.
      calibration: calibration && calibration.id > (axes?.id ?? 0) ? calibration : null,
      piece: history.readoutEntries({ station, kind: 'reference-piece', limit: 1 })[0] ?? null,
      check: checks[0] ?? null,
      doubt: doubtOf(checks),
    }
  }

  #standing(): ReadoutStanding {
    const nowMs = this.#parts.clock.wallMs()
    return standingOf(this.#known, { nowMs, startedMs: this.#startedMs })
  }

  #readoutAt(angleDeg: number): Readout | null {
    const { counts, setup } = this.#parts.moment()
    if (counts === null) return null
    const { calibration } = this.#known
    return {
      countsPerTurn: setup === null ? counts : countsOfDie(counts, setup.setup.sensor),
      calibration: calibration && shareOf(calibration, angleDeg),
    }
  }

  /** Behind a gear a turn of the readout is no turn of the encoder, and its errors repeat elsewhere. */
  #hasFixedZero(): boolean {
    const { device } = this.#parts.moment()
    const { turnDeg = TURN_DEG } = this.#setup().sensor
    return device !== null && device.sensor !== 'incremental' && turnDeg === TURN_DEG
  }
}
