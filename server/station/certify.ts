import { bendProof, calibratedExpandedDegOf } from '../bend/bend-proof.ts'
import type { Certificate, CertifiedBend, Sheet } from '../certificate/certificate.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import type { SigningKey } from '../history/key.ts'
import type { SignedEnd } from '../history/signed-lines.ts'
import type { Clock } from '../link/link.ts'
import type { Act } from '../messages/acts.ts'
import { amendmentsOf, standingText, voidedBy } from '../messages/bend-standing.ts'
import type { Bend, BendTrace } from '../messages/bends.ts'
import type { CertificateAsk } from '../messages/certificate.ts'
import { CERTIFICATE_BENDS_MAX as BENDS_MAX } from '../messages/certificate-max.ts'
import type { BendFilter } from '../messages/find.ts'
import { inTurns } from '../web/in-turns.ts'
import { Refused } from '../web/station-door.ts'
import { deedOf } from './deed-of.ts'
import { type Known, standsIn } from './standing-bends.ts'

/** Between two readings a bend may be recorded, hardly more often. */
const TURNS_MAX = 5
/** Read and signed between two turns of whatever else goes on: a few milliseconds. */
const BENDS_A_STEP = 8
const RECORDS_FILE = 'bends-signed.jsonl'

/** By what a certificate is signed; null where no key was made. */
export interface Signing {
  readonly key: SigningKey
  /** The bends of a filter as they are signed, of the moment in which it is walked. */
  lines(filter: BendFilter): Iterable<string>
}

export interface CertifyParts {
  readonly history: {
    /** Every bend that fits, as recorded or as amended, oldest first. */
    bends(filter: BendFilter): Iterable<Bend>
    actsOn(bendId: number): readonly Act[]
    /** How many are on record, and the hash of the last; empty where there is none. */
    newest(): { readonly records: number; readonly head: string }
  }
  readonly clock: Pick<Clock, 'wallMs'>
  readonly software: string
  /** Of a recorded bend, run again; throws `Refused` `no-rerun`. */
  readonly trace: (bendId: number) => Promise<BendTrace | null>
  readonly signing: Signing | null
}

function refuse(sentence: string, field?: string): never {
  throw new Refused('no-certificate', sentence, field)
}

function filterOf({ part, piece, lot }: CertificateAsk): BendFilter {
  if (piece !== undefined && part === undefined)
    refuse('A piece is one of a part: say which part.', 'part')
  if (part === undefined && lot === undefined)
    refuse('Say which part, or which lot, the certificate is for.', 'part')
  return {
    ...(part !== undefined && { part }),
    ...(piece !== undefined && { piece }),
    ...(lot !== undefined && { lot }),
  }
}

function* knownOf({ history }: CertifyParts, filter: BendFilter): Generator<void, Known[], void> {
  const found: Known[] = []
  for (const bend of history.bends(filter)) {
    if (found.length === BENDS_MAX)
      refuse(
        `More than ${BENDS_MAX} bends are too many for one certificate: choose a part and its piece.`,
        filter.part === undefined ? 'part' : 'piece',
      )
    found.push({ bend, acts: history.actsOn(bend.id) })
    if (found.length % BENDS_A_STEP === 0) yield
  }
  if (found.length === 0) refuse('No bend is on record for that: look at part, piece and lot.')
  return found
}

async function certified({ trace: run }: CertifyParts, known: Known): Promise<CertifiedBend> {
  const { bend, acts } = known
  const trace = await run(bend.id).catch((error: unknown) => {
    if (error instanceof Refused && error.code === 'no-rerun') return null
    throw error
  })
  const deeds = acts.map((act) => deedOf(act, bend))
  return {
    ...{ bend, trace, proof: bendProof(bend), expandedDeg: calibratedExpandedDegOf(bend) },
    ...{ isVoid: voidedBy(acts) !== null, deeds },
    amended: Object.fromEntries(amendmentsOf(bend, acts).map(({ field, to }) => [field, to])),
  }
}

/** A sheet a piece, in the order in which the first bend of each was recorded. */
async function sheetsOf(
  parts: CertifyParts,
  found: readonly Known[],
  ask: CertificateAsk,
  signal?: AbortSignal,
): Promise<Sheet[]> {
  const pieces = new Map<string, { part: string; piece: number; bends: Known[]; gone: Known[] }>()
  for (const known of found) {
    const { bend, acts } = known
    const isHere = standsIn(known, ask)
    const part = isHere ? (standingText(bend, acts, 'part') ?? bend.part) : bend.part
    const piece = isHere ? Number(standingText(bend, acts, 'piece') ?? bend.piece) : bend.piece
    const key = JSON.stringify([part, piece])
    const sheet = pieces.get(key) ?? { part, piece, bends: [], gone: [] }
    pieces.set(key, sheet)
    sheet[isHere ? 'bends' : 'gone'].push(known)
  }
  const sheets: Sheet[] = []
  for (const { bends, gone, ...named } of pieces.values()) {
    const on: CertifiedBend[] = []
    for (const known of bends) {
      signal?.throwIfAborted()
      on.push(await certified(parts, known))
    }
    const away = gone.map(({ bend, acts }) => ({
      bend,
      deeds: acts.map((act) => deedOf(act, bend)),
    }))
    sheets.push({ ...named, bends: on, gone: away })
  }
  return sheets
}

type Evidence = Pick<Certificate, 'records' | 'head' | 'seal' | 'attachment'>

/** The records that go along inside, and the signature over them; null where they are of another moment than `found`. */
function signedOf(lines: readonly string[], found: readonly Known[]): Evidence | null {
  const { end } = JSON.parse(lines.at(-1) ?? '') as { end: SignedEnd }
  const acts = found.reduce((sum, known) => sum + known.acts.length, 0)
  if (end.bends !== found.length || end.acts !== acts) return null
  const { fingerprint, signature, heads } = end
  return {
    ...{ records: heads.bends.count, head: heads.bends.head },
    seal: { fingerprint, signature },
    attachment: { name: RECORDS_FILE, bytes: Buffer.from(lines.join(''), 'utf8') },
  }
}

/** Of an unsigned certificate; null where a bend, or an act about one that was found, was recorded since `before`. */
function unsignedOf(
  { history }: CertifyParts,
  before: string,
  found: readonly Known[],
): Evidence | null {
  const newest = history.newest()
  const isSame = ({ bend, acts }: Known) => history.actsOn(bend.id).length === acts.length
  if (newest.head !== before || !found.every(isSame)) return null
  return { ...newest, seal: null, attachment: null }
}

/** All of one moment, since they are read in one transaction however long that takes. */
function* linesOf(signing: Signing, filter: BendFilter): Generator<void, string[], void> {
  const lines: string[] = []
  for (const line of signing.lines(filter)) {
    lines.push(line)
    if (lines.length % BENDS_A_STEP === 0) yield
  }
  return lines
}

/** Bends and the evidence for them, of one moment also where another program records meanwhile. */
function* evidenceOf(
  parts: CertifyParts,
  filter: BendFilter,
): Generator<void, [Known[], Evidence], void> {
  const { signing } = parts
  for (let turn = 0; turn < TURNS_MAX; turn += 1) {
    const before = parts.history.newest().head
    const found = yield* knownOf(parts, filter)
    const evidence =
      signing === null
        ? unsignedOf(parts, before, found)
        : signedOf(yield* linesOf(signing, filter), found)
    if (evidence !== null) return [found, evidence]
  }
  return refuse(
    'These bends cannot be read as they were signed: check the history with overbend verify.',
  )
}

/**
 * What goes on a certificate. Bends stand on it as they were recorded, on the sheet of the piece that they are of by
 * now; what was amended since is told below them. Records, acts, head and what is signed are of one moment.
 *
 * @throws Refused `no-certificate` where nothing fits, or too much.
 */
export async function certify(
  parts: CertifyParts,
  ask: CertificateAsk,
  signal?: AbortSignal,
): Promise<Certificate> {
  const filter = filterOf(ask)
  const { software, clock } = parts
  const [found, evidence] = await inTurns(evidenceOf(parts, filter), signal)
  const issuedAt = isoWithOffset(clock.wallMs())
  return { issuedAt, software, ...evidence, sheets: await sheetsOf(parts, found, ask, signal) }
}
