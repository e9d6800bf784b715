import type { CertifiedBend } from './certificate.ts'
import { FAINT, GROUND, use } from './faces.ts'
import { LEFT_PT, line, type Paper, paragraph, type Steps, WIDE_PT } from './paper.ts'
import { recordedCheckDeg, standingCheck } from './standing.ts'
import { degrees, expanded, signed, words } from './words.ts'

const ROW_PT = 13
const AMENDED_PT = 8
/** Shares of the width, in the order of `words.columns`. */
const SHARES = [0.05, 0.07, 0.13, 0.085, 0.085, 0.14, 0.08, 0.08, 0.05, 0.125, 0.105] as const
const CHECKED = words.columns.indexOf('checked')
const VERDICT = words.columns.indexOf('verdict')

function cellsOf(on: CertifiedBend): string[] {
  const { bend, isVoid, proof, expandedDeg: uDeg } = on
  const { wantedDeg, toleranceDeg, releasedDeg } = bend
  const released = degrees(releasedDeg)
  return [
    String(bend.bendNumber),
    String(bend.id),
    `${degrees(wantedDeg)} ± ${degrees(toleranceDeg)}`,
    degrees(bend.commandedDeg),
    degrees(bend.peakDeg),
    uDeg === null || releasedDeg === null ? `${released} ± –` : `${released} ${expanded(uDeg)}`,
    signed(releasedDeg === null ? null : releasedDeg - wantedDeg),
    degrees(recordedCheckDeg(on)),
    String(bend.hits),
    words.verdict(bend, isVoid),
    proof === null ? '–' : words.proof[proof],
  ]
}

function row(paper: Paper, cells: readonly string[], isHead: boolean): void {
  const { doc, yPt } = paper
  let xPt = LEFT_PT
  if (isHead) doc.rect(LEFT_PT, yPt, WIDE_PT, ROW_PT).fill(GROUND)
  for (const [place, cell] of cells.entries()) {
    const widthPt = (SHARES[place] ?? 0) * WIDE_PT
    const isVerdict = place === VERDICT
    use(doc, isHead || isVerdict ? 'bold' : 'plain', isHead ? 6.5 : 8)
    line(
      doc,
      cell,
      xPt + (isVerdict ? 8 : 2),
      yPt + 3,
      widthPt - (isVerdict ? 9 : 4),
      place < 2 || place >= VERDICT ? 'left' : 'right',
    )
    xPt += widthPt
  }
  paper.yPt += ROW_PT
}

function rule({ doc, yPt }: Paper): void {
  doc.lineWidth(0.4).strokeColor(FAINT)
  doc
    .moveTo(LEFT_PT, yPt)
    .lineTo(LEFT_PT + WIDE_PT, yPt)
    .stroke()
}

const isAmendedHere = ({ amended }: CertifiedBend) =>
  amended.bendNumber !== undefined || amended.checkedDeg !== undefined

/** Under the cells what stands by now instead. */
function amendedRow(paper: Paper, on: CertifiedBend): void {
  const { doc, yPt } = paper
  const { bendNumber } = on.amended
  const below = [
    [0, bendNumber === undefined ? undefined : (bendNumber ?? '–')],
    [CHECKED, standingCheck(on)],
  ] as const
  use(doc, 'bold', 6.5)
  for (const [place, text] of below) {
    if (text === undefined) continue
    const before = SHARES.slice(0, place).reduce((sum, share) => sum + share, 0)
    const widthPt = (SHARES[place] ?? 0) * WIDE_PT
    const align = place === 0 ? 'left' : 'right'
    line(doc, words.now(text), LEFT_PT + before * WIDE_PT + 2, yPt - 1, widthPt - 4, align)
  }
  paper.yPt += AMENDED_PT
}

/** The bends of a piece, a row each; the head again on each page. */
export function* bendRows(paper: Paper, bends: readonly CertifiedBend[]): Steps {
  const head = () => {
    row(paper, words.columns, true)
    rule(paper)
  }
  paper.need(3 * ROW_PT)
  head()
  for (const bend of bends) {
    const isAmended = isAmendedHere(bend)
    const beforePt = paper.yPt
    paper.need(isAmended ? ROW_PT + AMENDED_PT : ROW_PT)
    if (paper.yPt !== beforePt) head()
    row(paper, cellsOf(bend), false)
    if (isAmended) amendedRow(paper, bend)
    rule(paper)
    yield
  }
  if (!bends.some(isAmendedHere)) return
  paper.yPt += 3
  yield* paragraph(paper, words.nowMeans, 6.5)
}
