import type { Certificate, CertifiedBend, Sheet } from '../certificate/certificate.ts'
import type { History } from '../history/history.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import type { Clock } from '../link/link.ts'
import { voidedBy } from '../messages/bend-standing.ts'
import type { Bend, BendTrace } from '../messages/bends.ts'
import type { CertificateAsk } from '../messages/certificate.ts'
import { Refused } from '../web/station-door.ts'
import { deedOf } from './deed-of.ts'

/** A trace is run again from its lines in some 50 ms: half a minute, and 200 pages at most. */
const BENDS_MAX = 600
/** Rows looked at for one piece of a part; a part has fewer bends. */
const ROWS_MAX = 50_000
const PAGE_ROWS = 500

export interface CertifyParts {
  readonly history: Pick<History, 'page' | 'bend' | 'actsOn' | 'count'>
  readonly clock: Pick<Clock, 'wallMs'>
  readonly software: string
  /** Of a recorded bend, run again; throws `Refused` `no-rerun`. */
  readonly trace: (bendId: number) => Promise<BendTrace | null>
}

function refuse(sentence: string, field?: string): never {
  throw new Refused('no-certificate', sentence, field)
}

function checkAsk({ part, piece, lot }: CertificateAsk): void {
  if (piece !== undefined && part === undefined)
    refuse('A piece is one of a part: say which part.', 'part')
  if (part === undefined && lot === undefined)
    refuse('Say which part, or which lot, the certificate is for.', 'part')
}

/** Numbers of the bends that go on paper, oldest first. */
function numbersOf({ history }: CertifyParts, { part, piece, lot }: CertificateAsk): number[] {
  const filter = { ...(part !== undefined && { part }), ...(lot !== undefined && { lot }) }
  const found: number[] = []
  let before: number | null = null
  for (let rows = 0; rows < ROWS_MAX; rows += PAGE_ROWS) {
    const page = history.page({ ...filter, limit: PAGE_ROWS, ...(before !== null && { before }) })
    const fitting = page.bends.filter((bend) => piece === undefined || bend.piece === piece)
    found.push(...fitting.map(({ id }) => id))
    if (found.length > BENDS_MAX)
      refuse(
        `More than ${BENDS_MAX} bends are too many for one certificate: choose a piece.`,
        'piece',
      )
    if (page.nextBefore === null) break
    before = page.nextBefore
  }
  return found.reverse()
}

async function certified(
  { history, trace: run }: CertifyParts,
  bend: Bend,
): Promise<CertifiedBend> {
  const acts = history.actsOn(bend.id)
  const trace = await run(bend.id).catch((error: unknown) => {
    if (error instanceof Refused && error.code === 'no-rerun') return null
    throw error
  })
  return {
    bend,
    trace,
    isVoid: voidedBy(acts) !== null,
    deeds: acts.map((act) => deedOf(act, bend)),
  }
}

/** A sheet a piece, in the order in which the first bend of each was recorded. */
function sheetsOf(bends: readonly CertifiedBend[]): Sheet[] {
  const pieces = new Map<string, CertifiedBend[]>()
  for (const each of bends) {
    const key = JSON.stringify([each.bend.part, each.bend.piece])
    pieces.set(key, [...(pieces.get(key) ?? []), each])
  }
  return [...pieces.values()].flatMap((ofPiece) => {
    const [first] = ofPiece
    return first ? [{ part: first.bend.part, piece: first.bend.piece, bends: ofPiece }] : []
  })
}

/**
 * What goes on a certificate. Bends stand on it as they were recorded; what was amended since is told below them.
 *
 * @throws Refused `no-certificate` where nothing fits, or too much.
 */
export async function certify(parts: CertifyParts, ask: CertificateAsk): Promise<Certificate> {
  checkAsk(ask)
  const { history, software, clock } = parts
  const numbers = numbersOf(parts, ask)
  if (numbers.length === 0) refuse('No bend is on record for that: look at part, piece and lot.')
  const records = history.count()
  const bends: CertifiedBend[] = []
  for (const number of numbers) {
    const bend = history.bend(number)
    if (bend !== null) bends.push(await certified(parts, bend))
  }
  return {
    issuedAt: isoWithOffset(clock.wallMs()),
    software,
    records,
    head: history.bend(records)?.hash ?? '',
    seal: null,
    sheets: sheetsOf(bends),
    attachment: null,
  }
}
