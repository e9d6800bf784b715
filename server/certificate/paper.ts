import PDFDocument from 'pdfkit'
import type { Certificate, Sheet } from './certificate.ts'
import { taken } from './closing.ts'
import { addFaces, FAINT, INK, use } from './faces.ts'
import { linesOf } from './lines-of.ts'
import { lotOf } from './standing.ts'
import { words } from './words.ts'

/** ISO 216 A4, points. */
const WIDTH_PT = 595.28
const HEIGHT_PT = 841.89
const EDGE_PT = 28
const INSIDE_PT = 10
const BLOCK_PT = 54

export const LEFT_PT = EDGE_PT + INSIDE_PT
const RIGHT_PT = WIDTH_PT - EDGE_PT - INSIDE_PT
export const WIDE_PT = RIGHT_PT - LEFT_PT
const TOP_PT = EDGE_PT + INSIDE_PT
const BOTTOM_PT = HEIGHT_PT - EDGE_PT - BLOCK_PT - INSIDE_PT

/** Something that is drawn in steps of some milliseconds. */
export type Steps = Generator<void, void>

/** A sheet being drawn: how far down its page it has come. */
export interface Paper {
  readonly doc: PDFKit.PDFDocument
  yPt: number
  /** Makes sure of so much height: on the next page of the same sheet where there is none left. */
  need(heightPt: number): void
}

export function openPaper(certificate: Certificate): PDFKit.PDFDocument {
  const doc = new PDFDocument({
    size: [WIDTH_PT, HEIGHT_PT],
    margin: 0,
    bufferPages: true,
    autoFirstPage: false,
    pdfVersion: '1.7',
    lang: 'en',
    displayTitle: true,
    info: {
      Title: words.title,
      Creator: `Overbend ${certificate.software}`,
      Producer: `Overbend ${certificate.software}`,
      CreationDate: new Date(certificate.issuedAt),
    },
  })
  addFaces(doc)
  return doc
}

/** A page for a piece, and more where it needs more; each says whose it is. */
export function beginSheet(
  doc: PDFKit.PDFDocument,
  sheet: Sheet,
  begun: (sheet: Sheet) => void,
): Paper {
  const page = (isContinued: boolean) => {
    doc.addPage()
    begun(sheet)
    const name = words.piece(sheet.part, sheet.piece)
    use(doc, 'bold', 15)
    line(doc, isContinued ? `${name} (${words.continued})` : name, LEFT_PT, TOP_PT, WIDE_PT)
    paper.yPt = TOP_PT + 22
  }
  const paper: Paper = {
    doc,
    yPt: TOP_PT,
    need(heightPt) {
      if (!(paper.yPt + heightPt <= BOTTOM_PT)) page(true)
    },
  }
  page(false)
  return paper
}

/** Text on one line, cut with an ellipsis where it is too long. */
export function line(
  doc: PDFKit.PDFDocument,
  text: string,
  xPt: number,
  yPt: number,
  widthPt: number,
  align: 'left' | 'right' = 'left',
): void {
  doc.text(text.replaceAll(/\s+/g, ' '), xPt, yPt, {
    width: widthPt,
    height: doc.currentLineHeight() * 1.2,
    ellipsis: '…',
    align,
  })
}

export function heading(paper: Paper, text: string, withPt: number): void {
  paper.need(18 + withPt)
  paper.yPt += 8
  use(paper.doc, 'bold', 8.5)
  line(paper.doc, text, LEFT_PT, paper.yPt, WIDE_PT)
  paper.yPt += 12
}

/** Of a paragraph on one page, and between two turns of whatever else goes on. */
const LINES_A_STEP = 4

/** A paragraph, as high as it is: a few lines at a time, so that a long one goes on over pages and is made in steps. */
export function* paragraph(
  paper: Paper,
  text: string,
  sizePt: number,
  face: 'plain' | 'bold' = 'plain',
): Steps {
  const { doc } = paper
  use(doc, face, sizePt)
  const heightPt = doc.currentLineHeight(true)
  const widthOf = (part: string) => {
    use(doc, face, sizePt)
    return doc.widthOfString(part)
  }
  let waiting: string[] = []
  const draw = () => {
    paper.need(waiting.length * heightPt)
    // A new page begins with its name, in another face.
    use(doc, face, sizePt)
    for (const words of waiting) {
      doc.text(words, LEFT_PT, paper.yPt, { lineBreak: false })
      paper.yPt += heightPt
    }
    waiting = []
  }
  for (const words of linesOf(text, WIDE_PT, widthOf)) {
    if (waiting.length === LINES_A_STEP) {
      draw()
      yield
    }
    waiting.push(words)
  }
  draw()
  paper.yPt += 2
}

/** Frame and title block of every page, and its bytes, once all of them are there. */
export function* frameAll(
  certificate: Certificate,
  doc: PDFKit.PDFDocument,
  of: Sheet[],
): Generator<void, Buffer[], void> {
  const parts: Buffer[] = []
  const { start, count } = doc.bufferedPageRange()
  for (let page = 0; page < count; page++) {
    const shown = doc.switchToPage(start + page)
    const sheet = of[page]
    if (sheet !== undefined) frame(certificate, doc, sheet, words.block.pages(page + 1, count))
    yield
    shown.end()
    parts.push(...taken(doc))
    yield
  }
  // They were ended above, one a step: `end` of the document would do all of them at once.
  doc.flushPages = () => {}
  return parts
}

function frame(
  { issuedAt, head, software }: Certificate,
  doc: PDFKit.PDFDocument,
  { part, piece, bends }: Sheet,
  page: string,
) {
  const widthPt = WIDTH_PT - 2 * EDGE_PT
  const yPt = HEIGHT_PT - EDGE_PT - BLOCK_PT
  doc.lineWidth(1.2).strokeColor(INK)
  doc.rect(EDGE_PT, EDGE_PT, widthPt, HEIGHT_PT - 2 * EDGE_PT).stroke()
  doc
    .moveTo(EDGE_PT, yPt)
    .lineTo(EDGE_PT + widthPt, yPt)
    .stroke()
  doc.lineWidth(0.5).strokeColor(FAINT)
  const say = words.block
  const lots = [...new Set(bends.map(lotOf))].join('; ')
  const upper = cells([
    [say.part, part, 0.4],
    [say.piece, String(piece), 0.1],
    [say.lot, lots, 0.35],
    [say.page, page, 0.15],
  ])
  const lower = cells([
    [`${words.title}, Overbend ${software}`, `${say.issued} ${issuedAt}`, 0.4],
    [say.head, head, 0.6],
  ])
  for (const [row, cellsOfRow] of [upper, lower].entries())
    for (const { name, value, xPt, widthPt: cellPt } of cellsOfRow) {
      const topPt = yPt + (row * BLOCK_PT) / 2
      doc.rect(xPt, topPt, cellPt, BLOCK_PT / 2).stroke()
      use(doc, 'plain', 5.5)
      line(doc, name, xPt + 4, topPt + 3, cellPt - 8)
      if (value.length === 64 && row === 1) use(doc, 'mono', 7)
      else use(doc, 'bold', 9)
      line(doc, value, xPt + 4, topPt + 11, cellPt - 8)
    }
}

function cells(row: readonly (readonly [name: string, value: string, share: number])[]) {
  let xPt = EDGE_PT
  return row.map(([name, value, share]) => {
    const widthPt = share * (WIDTH_PT - 2 * EDGE_PT)
    const cell = { name, value, xPt, widthPt }
    xPt += widthPt
    return cell
  })
}
