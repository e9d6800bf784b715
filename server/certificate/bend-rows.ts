import type { CertifiedBend } from './certificate.ts'
import { FAINT, GROUND, use } from './faces.ts'
import { LEFT_PT, line, type Paper, type Steps, WIDE_PT } from './paper.ts'
import { degrees, expanded, signed, words } from './words.ts'

const ROW_PT = 13
/** Shares of the width, in the order of `words.columns`. */
const SHARES = [0.05, 0.07, 0.13, 0.085, 0.085, 0.14, 0.08, 0.08, 0.05, 0.125, 0.105] as const
const VERDICT = words.columns.indexOf('verdict')

function cellsOf({ bend, isVoid, proof, expandedDeg: uDeg }: CertifiedBend): string[] {
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
    degrees(bend.checkedDeg),
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
  doc.lineWidth(0.4).strokeColor(FAINT)
  doc
    .moveTo(LEFT_PT, yPt + ROW_PT)
    .lineTo(LEFT_PT + WIDE_PT, yPt + ROW_PT)
    .stroke()
  paper.yPt += ROW_PT
}

/** The bends of a piece, a row each; the head again on each page. */
export function* bendRows(paper: Paper, bends: readonly CertifiedBend[]): Steps {
  const head = () => row(paper, words.columns, true)
  paper.need(3 * ROW_PT)
  head()
  for (const bend of bends) {
    const beforePt = paper.yPt
    paper.need(ROW_PT)
    if (paper.yPt !== beforePt) head()
    row(paper, cellsOf(bend), false)
    yield
  }
}
