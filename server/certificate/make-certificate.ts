import { bendRows } from './bend-rows.ts'
import type { Certificate, CertifiedBend, Sheet } from './certificate.ts'
import { attach, endOf } from './closing.ts'
import { openFaces, use } from './faces.ts'
import { inForce } from './in-force.ts'
import {
  beginSheet,
  frameAll,
  heading,
  LEFT_PT,
  line,
  openPaper,
  type Paper,
  paragraph,
  type Steps,
  WIDE_PT,
} from './paper.ts'
import { tracePictures } from './trace-pictures.ts'
import { words } from './words.ts'

const HASH_ROW_PT = 9

/** Where bends were imported from, a sentence each time that somebody did. */
function importsOf(bends: readonly CertifiedBend[]): string[] {
  const idsBy = new Map<string, number[]>()
  for (const { bend } of bends) {
    if (bend.imported === undefined) continue
    const { file, by, at } = bend.imported
    const key = JSON.stringify({ file, by, day: at.slice(0, 10) })
    const ids = idsBy.get(key)
    if (ids === undefined) idsBy.set(key, [bend.id])
    else ids.push(bend.id)
  }
  return [...idsBy].map(([key, ids]) => words.imported(JSON.parse(key), ids, bends.length))
}

function* summary(paper: Paper, { bends, gone }: Sheet): Steps {
  const isIn = bends.filter(({ bend, isVoid }) => !isVoid && bend.verdict === 'in').length
  const voided = bends.filter(({ isVoid }) => isVoid).length
  if (bends.some(({ bend }) => bend.simulated)) {
    use(paper.doc, 'bold', 10)
    line(paper.doc, words.simulated, LEFT_PT, paper.yPt, WIDE_PT)
    paper.yPt += 15
  }
  for (const text of importsOf(bends)) yield* paragraph(paper, text, 10, 'bold')
  yield* paragraph(paper, words.summary(bends.length, isIn, voided), 9.5)
  if (gone.length > 0) yield* paragraph(paper, words.gone(gone.map(({ bend }) => bend.id)), 9.5)
  paper.yPt += 3
}

function* deeds(paper: Paper, { bends, gone }: Sheet): Steps {
  const all = [...bends, ...gone].flatMap(({ bend, deeds }) =>
    deeds.map((deed) => ({ id: bend.id, ...deed })),
  )
  if (all.length === 0) return
  heading(paper, words.deeds, 12)
  for (const { id, at, who, what } of all) {
    yield* paragraph(paper, words.deed(id, at, who, what), 7.5)
    yield
  }
}

function* hashes(paper: Paper, certificate: Certificate, { bends, gone }: Sheet): Steps {
  const { doc } = paper
  const rows = [
    ...[...bends, ...gone].map(({ bend }) => [words.record(bend.id), bend.hash] as const),
    [words.head(certificate.records), certificate.head] as const,
  ]
  heading(paper, words.records, HASH_ROW_PT * 2)
  for (const [name, hash] of rows) {
    paper.need(HASH_ROW_PT)
    use(doc, 'plain', 6.5)
    line(doc, name, LEFT_PT, paper.yPt, 210)
    use(doc, 'mono', 6.5)
    line(doc, hash, LEFT_PT + 214, paper.yPt, WIDE_PT - 214)
    paper.yPt += HASH_ROW_PT
    yield
  }
  const { seal, attachment } = certificate
  if (seal === null) yield* paragraph(paper, words.unsealed, 7.5)
  else {
    yield* paragraph(paper, `${words.seal}: ${seal.signature}`, 6.5)
    yield* paragraph(paper, `${words.fingerprint}: ${seal.fingerprint}`, 6.5)
  }
  if (attachment !== null) yield* paragraph(paper, words.attached(attachment.name), 7.5)
}

/** A sheet, on as many pages as it takes. */
function* drawSheet(paper: Paper, certificate: Certificate, sheet: Sheet): Steps {
  yield* summary(paper, sheet)
  yield* bendRows(paper, sheet.bends)
  paper.yPt += 3
  yield* paragraph(paper, words.uncertainty, 6.5)
  yield* tracePictures(paper, sheet.bends)
  yield* inForce(paper, sheet.bends)
  yield* deeds(paper, sheet)
  yield* hashes(paper, certificate, sheet)
  paper.yPt += 6
  yield* paragraph(paper, words.caution, 7.5)
}

/**
 * The certificate as PDF, a page a piece and more where a piece has many bends. What goes on it is asked for before:
 * this draws, in steps of some milliseconds for whoever has more to do meanwhile.
 */
export function* makeCertificate(certificate: Certificate): Generator<void, Buffer, void> {
  const doc = openPaper(certificate)
  yield* openFaces(doc)
  const pages: Sheet[] = []
  for (const sheet of certificate.sheets) {
    const paper = beginSheet(doc, sheet, (of) => pages.push(of))
    yield
    yield* drawSheet(paper, certificate, sheet)
  }
  const parts = yield* frameAll(certificate, doc, pages)
  const { attachment } = certificate
  if (attachment !== null) attach(doc, attachment, new Date(certificate.issuedAt))
  yield
  const last = yield* endOf(doc)
  yield
  return Buffer.concat([...parts, ...last])
}
