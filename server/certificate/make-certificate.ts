import { bendRows } from './bend-rows.ts'
import type { Certificate, Sheet } from './certificate.ts'
import { use } from './faces.ts'
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
  WIDE_PT,
} from './paper.ts'
import { tracePictures } from './trace-pictures.ts'
import { words } from './words.ts'

const HASH_ROW_PT = 9

function summary(paper: Paper, { bends, gone }: Sheet): void {
  const isIn = bends.filter(({ bend, isVoid }) => !isVoid && bend.verdict === 'in').length
  const voided = bends.filter(({ isVoid }) => isVoid).length
  if (bends.some(({ bend }) => bend.simulated)) {
    use(paper.doc, 'bold', 10)
    line(paper.doc, words.simulated, LEFT_PT, paper.yPt, WIDE_PT)
    paper.yPt += 15
  }
  paragraph(paper, words.summary(bends.length, isIn, voided), 9.5)
  if (gone.length > 0) paragraph(paper, words.gone(gone.map(({ bend }) => bend.id)), 9.5)
  paper.yPt += 3
}

function deeds(paper: Paper, { bends, gone }: Sheet): void {
  const all = [...bends, ...gone].flatMap(({ bend, deeds }) =>
    deeds.map((deed) => ({ id: bend.id, ...deed })),
  )
  if (all.length === 0) return
  heading(paper, words.deeds, 12)
  for (const { id, at, who, what } of all) paragraph(paper, words.deed(id, at, who, what), 7.5)
}

function hashes(paper: Paper, certificate: Certificate, { bends, gone }: Sheet): void {
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
  }
  const { seal, attachment } = certificate
  if (seal === null) paragraph(paper, words.unsealed, 7.5)
  else {
    paragraph(paper, `${words.seal}: ${seal.signature}`, 6.5)
    paragraph(paper, `${words.fingerprint}: ${seal.fingerprint}`, 6.5)
  }
  if (attachment !== null) paragraph(paper, words.attached(attachment.name), 7.5)
}

/** Puts a file into the PDF byte for byte, so that it is found there without a reader of PDF. */
function attach(
  doc: PDFKit.PDFDocument,
  { name, bytes }: NonNullable<Certificate['attachment']>,
  at: Date,
): void {
  doc.compress = false
  doc.file(Buffer.from(bytes), {
    ...{ name, type: 'application/jsonl', creationDate: at, modifiedDate: at },
  })
  doc.compress = true
}

/**
 * The certificate as PDF, a page a piece and more where a piece has many bends. Its bytes come as they are read.
 * What goes on it is asked for before: this draws.
 */
export function makeCertificate(certificate: Certificate): PDFKit.PDFDocument {
  const doc = openPaper(certificate)
  const pages: Sheet[] = []
  for (const sheet of certificate.sheets) {
    const paper = beginSheet(doc, sheet, (of) => pages.push(of))
    summary(paper, sheet)
    bendRows(paper, sheet.bends)
    paper.yPt += 3
    paragraph(paper, words.uncertainty, 6.5)
    tracePictures(paper, sheet.bends)
    inForce(paper, sheet.bends)
    deeds(paper, sheet)
    hashes(paper, certificate, sheet)
    paper.yPt += 6
    paragraph(paper, words.caution, 7.5)
  }
  frameAll(certificate, doc, pages)
  const { attachment } = certificate
  if (attachment !== null) attach(doc, attachment, new Date(certificate.issuedAt))
  doc.end()
  return doc
}
