import type { KnownBy } from '../messages/act-kinds/act-kind.ts'
import type { Act, ActAsk, ActKind } from '../messages/acts.ts'
import type { Bend, BendTrace } from '../messages/bends.ts'
import type { CertificateAsk } from '../messages/certificate.ts'
import type {
  BlockReference,
  ChainApplied,
  ChainAsk,
  ChainKind,
  ChainProof,
  ChainProofAsk,
  ChainRevisionFile,
  ChainRevisionRow,
  ChainSeen,
  ChainView,
} from '../messages/chain.ts'
import type { BenchAct, OperatorAct } from '../messages/commands.ts'
import type { LiveMessage, StationState } from '../messages/live.ts'
import type {
  NotebookAsk,
  NotebookPreview,
  NotebookTake,
  NotebookTaken,
} from '../messages/notebook.ts'
import type { ArmOutput } from '../messages/output.ts'
import type {
  AddPersonAsk,
  ChangePersonAsk,
  FirstAsk,
  OwnPasswordAsk,
  Person,
  PersonChange,
  SignInAsk,
} from '../messages/people.ts'
import type { PieceAsk, PieceNow, PieceSigned, SignPieceAsk } from '../messages/piece.ts'
import type {
  Axes,
  Calibration,
  CalibrationAsk,
  CalibrationFit,
  Capture,
  Check,
  CheckAsk,
  CheckChart,
  ReadoutState,
  ReferencePiece,
  ReferencePieceAsk,
  SixPositions,
  SixPositionsAsk,
} from '../messages/readout.ts'
import type { Job, Setup, StoredSetup } from '../messages/setup.ts'
import type { LotTable, SpringbackView } from '../messages/springback.ts'
import type { SavedView, SaveViewAsk } from '../messages/views.ts'
import type { PortFound, Probed, RecentLine, Wire, WireChoice } from '../messages/wire.ts'

/** The board's output that follows the stop cue. All but `disarm` throw `Refused`. */
export interface OutputDoor {
  arm(what: ArmOutput): void
  /** The page that armed it is still there; to be called every second. */
  keep(): void
  disarm(): void
}

/** The readout of the sensor in use. All but `state` throw `Refused` with one sentence; nothing is applied then. */
export interface ReadoutDoor {
  state(): ReadoutState
  /** The mean readout over the last second, when it stands still. */
  capture(): Capture
  /** What a calibration would be, without entering it. */
  tryCalibration(ask: CalibrationAsk): CalibrationFit
  /** Enters it in the log; from then on it is in force. */
  calibrate(ask: CalibrationAsk): Calibration
  /** What the axes of an accelerometer show now. */
  captureAxes(): Axes
  /** Enters offset and gain of the axes; from then on they are in force. */
  calibrateAxes(ask: SixPositionsAsk): SixPositions
  addPiece(ask: ReferencePieceAsk): ReferencePiece
  /** Holds the readout against a piece that is in place. */
  check(ask: CheckAsk): Check
  chart(piece: number): CheckChart
}

/** What a bender's model was taught by recorded bends. */
export interface TeachingDoor {
  /**
   * Everything that bends have taught is made anew from the history and what people decided: at once, or after the
   * bend in hand, for which what was foretold stays.
   */
  retaught(): void
  /** Somebody bends just now: a cue must not wait for anything long. */
  isBending(): boolean
}

/** What people do about recorded bends: of the daemon, not of one bender. */
export interface BendActsDoor {
  /** Enters it in the log of acts. Throws `Refused` where it has no place on the bend as it stands. */
  add<K extends ActKind>(kind: K, bend: Bend, ask: ActAsk<K>, whoKnownBy: KnownBy): Act
}

/** The bends of one piece, as it stands by now. Both throw `Refused` `empty-piece`, and `not-signable` or `not-now` of very many. */
export interface PieceDoor {
  look(ask: PieceAsk): PieceNow
  /** An act for each bend, all in one transaction; throws `Refused` where one cannot be signed, or the piece changed. */
  sign(ask: SignPieceAsk, whoKnownBy: KnownBy): PieceSigned
}

/** A shop's old notebook. Both throw `Refused` where it is not to be read. */
export interface NotebookDoor {
  /** What would be imported, and everything that is in the way of it. */
  preview(ask: NotebookAsk): NotebookPreview
  /** Records all of it, or nothing. */
  take(take: NotebookTake): NotebookTaken
}

/** The people enrolled, and who is signed in. What changes them throws `Refused`. */
export interface PeopleDoor {
  /** False: an open shop, where whoever acts types a name. */
  areEnrolled(): boolean
  /** Who holds the session of this cookie header; null: nobody. */
  whoIs(cookieHeader: string | undefined): Person | null
  /** The Set-Cookie value of a new session. */
  signIn(ask: SignInAsk): Promise<string>
  /** Ends the session; the Set-Cookie value that takes the cookie away. */
  signOut(cookieHeader: string | undefined): string
  /** Whoever is signed in gives the password again. */
  demandPassword(name: string, password: string): Promise<void>
  /** The first administrator, signed in at once. */
  first(ask: FirstAsk): Promise<string>
  add(ask: AddPersonAsk, whoKnownBy: KnownBy): Promise<Person>
  change(ask: ChangePersonAsk, whoKnownBy: KnownBy): Promise<Person>
  ownPassword(name: string, ask: OwnPasswordAsk): Promise<void>
  list(): Person[]
  changes(): PersonChange[]
}

/** Saved views of the history, which are no evidence. */
export interface ViewsDoor {
  /** By name. */
  list(): SavedView[]
  /** Throws `Refused` where there is one of that name and `replaces` does not say so, or where there are too many. */
  save(ask: SaveViewAsk): SavedView
  /** Throws `Refused` where there is none of that name. */
  remove(name: string): void
}

/** Bends on paper. */
export interface CertificateDoor {
  /**
   * A PDF, signed where there is a key, one after the other. Throws `Refused` `no-certificate` where nothing fits, or too
   * much; the reason of `signal` when whoever asked has left.
   */
  make(ask: CertificateAsk, signal?: AbortSignal): Promise<Buffer>
}

/** What is known of springback. Both throw `HistoryError` when the history cannot be read. */
export interface SpringbackDoor {
  /** Of the set-up of this number, or of the one in use. Throws `Refused` where there is none. */
  view(setupId?: number): SpringbackView
  /** Of each lot that was bent. */
  lots(): LotTable
}

/** The running chain. */
export interface ChainDoor {
  view(): ChainView
  /** What went over its outputs; asking keeps the chain watched for some seconds. */
  seen(): ChainSeen
  /** Every block there is. */
  kinds(): ChainKind[]
  /** The same, each with what it makes of a test signal. */
  reference(): BlockReference[]
  /** The chain that comes with the program for this sensor. */
  shipped(): { file: unknown }
  /** A draft as it would run; throws `Refused` with the block and port at fault. */
  check(file: unknown): ChainView
  /** What stored bends come out as with a draft, beside what they came out as. */
  prove(ask: ChainProofAsk): Promise<ChainProof>
  /** Puts a draft in force, between bends. */
  apply(ask: ChainAsk): ChainApplied
  /** The newest first. */
  revisions(): ChainRevisionRow[]
  revision(id: number): ChainRevisionFile | null
}

/** Where the lines come from. */
export interface WireDoor {
  wire(): Wire
  /** The last lines, oldest first. */
  lines(): RecentLine[]
  /** Another wire from now on; throws `Refused` in mid-bend and for what cannot be. */
  use(wire: WireChoice): void
  /** The serial ports of this machine. */
  ports(): Promise<PortFound[]>
  /** Listens at a port for some seconds; throws `Refused` when it cannot be had. */
  probe(path: string): Promise<Probed>
}

/** What the web may ask of a station. The station implements it; the web knows nothing else of it. */
export interface StationDoor {
  state(): StationState
  /** The first message a new page gets: state, clock, and the trace of the bend in hand. */
  hello(): Extract<LiveMessage, { type: 'hello' }>
  subscribe(listener: (message: LiveMessage) => void): () => void
  /** Throws `Refused` with one sentence when the moment does not allow it. */
  act(act: OperatorAct): void
  useSetup(setup: Setup): StoredSetup
  useJob(job: Job): void
  bench(act: BenchAct): void
  readonly output: OutputDoor
  readonly readout: ReadoutDoor
  readonly teaching: TeachingDoor
  readonly chain: ChainDoor
  readonly springback: SpringbackDoor
  /** The trace of a recorded bend, run again from its raw lines; null when there is no such bend. */
  trace(bendId: number): Promise<BendTrace | null>
}

/** A refusal with a sentence for the person who asked. `code` stands in the error table. */
export class Refused extends Error {
  readonly code: string
  readonly field: string | undefined
  constructor(code: string, sentence: string, field?: string) {
    super(sentence)
    this.name = 'Refused'
    this.code = code
    this.field = field
  }
}
