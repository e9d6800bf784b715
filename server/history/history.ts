import type { PhotoType } from '../messages/act-kinds/photo.ts'
import type { Act, NewAct } from '../messages/acts.ts'
import type { Bend, NewBend } from '../messages/bends.ts'
import type { ChainRevision, NewChainRevision } from '../messages/chain.ts'
import type { LoggedExport, LoggedExportQuery, NewExport } from '../messages/exports.ts'
import type {
  BendFilter,
  BendPage,
  BendQuery,
  BendSummary,
  ExportFormat,
  KnownNames,
} from '../messages/find.ts'
import type { NewPersonChange, Person, PersonChange } from '../messages/people.ts'
import type { KeptPhoto } from '../messages/photos.ts'
import type { EntryKind, NewReadoutEntry, ReadoutEntry } from '../messages/readout.ts'
import type { Job, Setup, StoredSetup } from '../messages/setup.ts'

/** What is needed to run the chain over a bend again: where the chain stood, and every line since. */
export interface RawRecord {
  /** The chain's own snapshot text before the first line. */
  readonly chain: string
  readonly snapshot: string
  /** One line each: `<arrivalS>\t<d|h>\t<text>`. */
  readonly lines: readonly string[]
}

/** Key of the bender where a daemon has one: only of several has each a key of its own. */
export const ONLY_STATION = ''

/** A bend that was begun and not yet recorded: kept on disk so that a crash does not hide it. */
export interface OpenBend {
  readonly startedAt: string
  readonly setupId: number
  readonly job: Job
  readonly simulated: boolean
  /** Lead time of the stop cue; left out by versions that knew one only. */
  readonly leadS?: number
}

/** Whose bends are meant: at another bender, or on a simulated one, the same hands are other hands. */
export interface Hands {
  readonly operator: string
  readonly station: string
  readonly simulated: boolean
}

/** What a bend teaches of springback: all that is read of it when the model is made anew. */
export interface StoredLesson {
  readonly id: number
  readonly setupId: number
  readonly peakDeg: number
  readonly springbackDeg: number
  readonly simulated: boolean
  /** Where an angle finder was put on the tube. */
  readonly checked?: CheckedLesson
}

/** One released angle read twice, or by hand alone. */
export interface CheckedLesson {
  readonly checkedDeg: number
  /** The sensor did not see where the tube stood: the released angle is the checked one. */
  readonly byHandAlone: boolean
  /** Expanded uncertainty of the readout's released angle, k = 2; null: not known. */
  readonly expandedDeg: number | null
  /** Number of the calibration in force; null: none. */
  readonly calibration: number | null
}

/** One material lot on one die of one station: its set-ups, and the numbers between which its bends lie. */
export interface PlaceQuery {
  readonly lot: string
  readonly setupIds: readonly number[]
  readonly simulated: boolean
  readonly firstBend: number
  readonly lastBend: number
}

/** A lesson with what its error came from. Degrees. */
export interface PlaceBend extends StoredLesson {
  readonly wantedDeg: number
  readonly commandedDeg: number | null
  readonly releasedDeg: number | null
  /** The springback that was foreseen at the peak. */
  readonly expectedDeg: number | null
  /** Expanded uncertainty of the released angle, k = 2. */
  readonly releasedExpandedDeg: number | null
}

export interface Verified {
  readonly records: number
  readonly intact: boolean
  /** Number of the first record that was altered, removed or reordered. */
  readonly firstBroken: number | null
  /** Plain sentence: what is wrong with it. */
  readonly why: string | null
  /** Hash of the last record: write it down elsewhere, and a rewritten tail shows. */
  readonly head: string
  /** The log of acts about the readout, a chain of its own. */
  readonly readout: VerifiedLog
  /** The log of what people did about bends, a chain of its own. */
  readonly acts: VerifiedLog
  /** The log of revisions of the chain, a chain of its own. */
  readonly chains: VerifiedLog
  /** The log of people enrolled, a chain of its own. */
  readonly people: VerifiedLog
  /** The log of what left as a file, a chain of its own. */
  readonly exports: VerifiedLog
}

/** A log beside the bends, as far as its chain held. */
export interface VerifiedLog {
  readonly entries: number
  readonly firstBroken: number | null
  readonly head: string
}

/** Neighbouring bends of a selection, a column a field. Degrees; NaN where a bend has none. */
export interface SelectedBlock {
  readonly columns: {
    /** Number of the bend in the first row. */
    readonly first: number
    readonly startedMs: Float64Array
    /** Released less wanted; `stopDeg`, `tubeDeg`, `aimDeg` are its shares by cause. */
    readonly offDeg: Float64Array
    readonly toleranceDeg: Float64Array
    readonly springbackDeg: Float64Array
    readonly wantedDeg: Float32Array
    readonly stopDeg: Float32Array
    readonly tubeDeg: Float32Array
    readonly aimDeg: Float32Array
    /** Expanded uncertainty of the released angle, where the readout showed it. */
    readonly expandedDeg: Float32Array
    /** After amendments: places in the texts of the field. */
    readonly named: Readonly<Record<'lot' | 'die' | 'station', Uint32Array>>
  }
  /** Rows that were found, rising: those that count, and those of void bends. */
  readonly rows: Uint16Array
  readonly voided: Uint16Array
}

/** Bends of a selection, oldest first. The columns are the index's own: a lot may be amended while they are read. */
export interface SelectedBends {
  readonly blocks: readonly SelectedBlock[]
  readonly texts: Readonly<Record<'lot' | 'die' | 'station', readonly string[]>>
}

/** An image as it was handed in. */
export interface Photo {
  readonly type: PhotoType
  readonly image: Buffer
}

/** Whether a bend is to teach, as a person decided last. */
export interface StoredDecision {
  readonly bendId: number
  readonly decision: Act<'teaching'>['decision']
}

/** Entries of one kind of one bender's readout log, newest first. */
export interface ReadoutQuery<K extends EntryKind> {
  readonly station: string
  readonly kind: K
  /** Only entries older than this number. */
  readonly before?: number | undefined
  readonly limit: number
}

/**
 * The bend history: append-only, hash-chained, durable before it returns. Synchronous, since SQLite is;
 * each call is one transaction. Throws `HistoryError` with a code of the error table and one sentence.
 */
export interface History {
  /** Ends the open bend of the bender too; `otherIsOpen`: that is another one by now, and its mark stays. */
  append(bend: NewBend, raw: RawRecord, otherIsOpen?: boolean, station?: string): Bend
  page(query: BendQuery): BendPage
  /** What all bends that a filter finds have in common. */
  summary(filter: BendFilter): BendSummary
  /** Every bend that a filter finds, oldest first, with what charts are made of; in steps of some milliseconds. */
  selectionSteps(filter: BendFilter): Iterator<void, SelectedBends>
  /** Every bend that a filter finds as the text of a file, oldest first, in pieces; a CSV begins with a byte order mark. */
  exported(filter: BendFilter, format: ExportFormat): Iterable<string>
  /** The names that may be looked for. */
  knownNames(): KnownNames
  bend(id: number): Bend | null
  raw(id: number): RawRecord | null
  /** Every bend that may teach, of all set-ups, oldest first. */
  lessons(): Iterable<StoredLesson>
  /** The newest lessons of one place, at most so many, oldest first. */
  placeBends(place: PlaceQuery, newest: number): PlaceBend[]
  /** The newest bends of these hands, at most so many, oldest first. */
  bendsByHands(hands: Hands, newest: number): Bend[]
  count(): number
  /** One for each bender, by its key. */
  openBend(open: OpenBend, station?: string): void
  closeOpenBend(station?: string): void
  /** The bend left open by a crash at this bender, if there is one. */
  leftOpen(station?: string): OpenBend | null
  /** Keys of the benders where one is marked open. */
  leftOpenAt(): string[]
  addSetup(setup: Setup): StoredSetup
  /** An equal set-up keeps its number; the newest first. */
  setups(): StoredSetup[]
  /** An act about the readout: a calibration, a reference piece, a check. Numbered, never edited. */
  addReadoutEntry(entry: NewReadoutEntry): ReadoutEntry
  readoutEntry(id: number): ReadoutEntry | null
  readoutEntries<K extends EntryKind>(query: ReadoutQuery<K>): Extract<ReadoutEntry, { kind: K }>[]
  /** What a person did about a recorded bend. Numbered, never edited; the bend stays as it is. */
  addAct(act: NewAct): Act
  /** All acts about a bend, oldest first. */
  actsOn(bendId: number): Act[]
  /** Keeps an image, on the disk before it returns; it belongs to a bend once an act names it. */
  addPhoto(image: Buffer): KeptPhoto
  /** By the hash of it, hexadecimal. */
  photo(sha256: string): Photo | null
  /** The last decision about each bend that one was made of. */
  decisions(): StoredDecision[]
  /** Bends that are void now, by number. */
  voided(): number[]
  /** A revision of the dataflow chain; its number follows the last of its name. Never edited. */
  addChainRevision(given: NewChainRevision): ChainRevision
  chainRevision(id: number): ChainRevision | null
  /** The newest revision of a name, of one bender or of any; null: only the shipped chain is there. */
  newestChain(name: string, station?: string): ChainRevision | null
  /** The newest first. */
  chainRevisions(name: string, limit: number, station?: string): ChainRevision[]
  /** Does several of these as one: all of them, or none where one throws. */
  together<T>(work: () => T): T
  /** A change of the people enrolled. `secret`: what the person's password is checked by from now on; null: as before. */
  addPersonChange(given: NewPersonChange, secret: string | null): PersonChange
  /** Everybody who was ever enrolled, as the log of people says. */
  people(): Person[]
  /** Oldest first. */
  personChanges(): PersonChange[]
  /** What a person's password is checked by; null where there is no such person. */
  secretOf(person: string): string | null
  /** Bends that left as a file. Numbered, never edited. */
  addExport(given: NewExport): LoggedExport
  /** The newest first. */
  exportsLogged(query: LoggedExportQuery): LoggedExport[]
  /** Small settings that are no evidence: the job in hand, the set-up in use. */
  remember(key: string, value: unknown): void
  recall(key: string): unknown
  /** With a head written down earlier, of the bends or of a log, a tail cut off or written anew shows too. Blocks while it runs. */
  verify(anchor?: string): Verified
  /**
   * The same in steps of some milliseconds, between which other work may go on, recording too. Every record and entry is
   * read; SQLite's own check of the file, which is one long step, is left to `verify`.
   */
  verifySteps(anchor?: string): Iterator<void, Verified>
  /** A checked copy in one file, in steps between which other work goes on. */
  backup(toFile: string, mayReplace?: boolean): Promise<{ records: number; sha256: string }>
  close(): void
}
