import type { CertifiedBend } from './certificate.ts'
import { FAINT, GROUND, use } from './faces.ts'
import { LEFT_PT, line, type Paper, WIDE_PT } from './paper.ts'
import { degrees, expanded, signed, words } from './words.ts'

const ROW_PT = 13
/** Shares of the width, in the order of `words.columns`. */
const SHARES = [0.06, 0.08, 0.15, 0.09, 0.09, 0.16, 0.09, 0.09, 0.06, 0.13] as const

function cellsOf({ bend, isVoid }: CertifiedBend): string[] {
  const { wantedDeg, toleranceDeg, releasedDeg, readout } = bend
  const uDeg = readout?.releasedExpandedDeg ?? null
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
  ]
}

function row(paper: Paper, cells: readonly string[], isHead: boolean): void {
  const { doc, yPt } = paper
  let xPt = LEFT_PT
  if (isHead) doc.rect(LEFT_PT, yPt, WIDE_PT, ROW_PT).fill(GROUND)
  for (const [place, cell] of cells.entries()) {
    const widthPt = (SHARES[place] ?? 0) * WIDE_PT
    const isVerdict = place === cells.length - 1
    use(doc, isHead || isVerdict ? 'bold' : 'plain', isHead ? 6.5 : 8)
    line(
      doc,
      cell,
      xPt + (isVerdict ? 10 : 2),
      yPt + 3,
      widthPt - (isVerdict ? 12 : 4),
      place < 2 || isVerdict ? 'left' : 'right',
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
export function bendRows(paper: Paper, bends: readonly CertifiedBend[]): void {
  const head = () => row(paper, words.columns, true)
  paper.need(3 * ROW_PT)
  head()
  for (const bend of bends) {
    const beforePt = paper.yPt
    paper.need(ROW_PT)
    if (paper.yPt !== beforePt) head()
    row(paper, cellsOf(bend), false)
  }
}
