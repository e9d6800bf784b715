import type { BendTrace } from '../messages/bends.ts'
import type { CertifiedBend } from './certificate.ts'
import { FAINT, GROUND, INK, use } from './faces.ts'
import { heading, LEFT_PT, line, type Paper, paragraph, type Steps, WIDE_PT } from './paper.ts'
import { degrees, words } from './words.ts'

const COLUMNS = 2
const GAP_PT = 10
const HIGH_PT = 82
const PICTURE_PT = (WIDE_PT - (COLUMNS - 1) * GAP_PT) / COLUMNS
/** More points than this are no wider than a line of ink. */
const POINTS_MAX = 400

/** The whole bend takes this share of a picture; the rest shows how it came to rest, enlarged. */
const WHOLE_SHARE = 0.56
/** Before the peak, in the enlarged part. */
const LEAD_S = 1
/** Tolerances above and below what was wanted, in the enlarged part. */
const BANDS = 3

/** Where a picture puts its seconds and degrees. */
interface Frame {
  readonly xPt: number
  readonly yPt: number
  readonly widthPt: number
  readonly heightPt: number
  readonly fromS: number
  readonly toS: number
  readonly lowDeg: number
  readonly highDeg: number
}

const within = (value: number) => Math.min(Math.max(value, 0), 1)
const xOf = ({ xPt, widthPt, fromS, toS }: Frame, tS: number) =>
  xPt + widthPt * within((tS - fromS) / (toS - fromS))
const yOf = ({ yPt, heightPt, lowDeg, highDeg }: Frame, deg: number) =>
  yPt + heightPt * (1 - within((deg - lowDeg) / (highDeg - lowDeg)))

function framesOf({ bend }: CertifiedBend, trace: BendTrace, xPt: number, yPt: number): Frame[] {
  const { wantedDeg, toleranceDeg, goes } = bend
  const endS = Math.max(trace.tS.at(-1) ?? 0, 1)
  const highestDeg = Math.max(bend.peakDeg ?? 0, wantedDeg + toleranceDeg, 1)
  const place = { yPt: yPt + 11, heightPt: HIGH_PT - 24 }
  const widePt = PICTURE_PT - 28
  const whole = { fromS: 0, toS: endS, lowDeg: 0, highDeg: highestDeg * 1.05 }
  const spanDeg = Math.max(BANDS * toleranceDeg, 0.5)
  const near = {
    fromS: Math.min(Math.max((goes.at(-1)?.peakAtS ?? 0) - LEAD_S, 0), endS - 0.5),
    toS: endS,
    lowDeg: wantedDeg - spanDeg,
    highDeg: Math.max(highestDeg + 0.1 * spanDeg, wantedDeg + spanDeg),
  }
  return [
    { ...place, ...whole, xPt: xPt + 22, widthPt: widePt * WHOLE_SHARE },
    {
      ...place,
      ...near,
      xPt: xPt + 28 + widePt * WHOLE_SHARE,
      widthPt: widePt * (1 - WHOLE_SHARE),
    },
  ]
}

function curve(doc: PDFKit.PDFDocument, frame: Frame, { tS, angleDeg }: BendTrace): void {
  const first = Math.max(tS.findIndex((time) => time >= frame.fromS) - 1, 0)
  const step = Math.max(1, Math.ceil((tS.length - first) / POINTS_MAX))
  doc.lineWidth(0.7).strokeColor(INK)
  for (let place = first; place < tS.length; place += step) {
    const [x, y] = [xOf(frame, tS[place] ?? 0), yOf(frame, angleDeg[place] ?? 0)]
    if (place === first) doc.moveTo(x, y)
    else doc.lineTo(x, y)
  }
  doc.stroke()
}

/** A mark is told by its shape and its name: paper may have no colours. */
function marks(doc: PDFKit.PDFDocument, frame: Frame, { bend }: CertifiedBend): void {
  const go = bend.goes.at(-1)
  if (go === undefined) return
  const peak = { x: xOf(frame, go.peakAtS), y: yOf(frame, go.peakDeg) }
  doc.lineWidth(0.8).strokeColor(INK)
  doc.polygon([peak.x - 3, peak.y - 5], [peak.x, peak.y], [peak.x + 3, peak.y - 5]).stroke()
  if (go.releasedAtS !== null && go.releasedDeg !== null)
    doc.circle(xOf(frame, go.releasedAtS), yOf(frame, go.releasedDeg), 2.4).stroke()
}

function plot(doc: PDFKit.PDFDocument, frame: Frame, bend: CertifiedBend, trace: BendTrace): void {
  const { wantedDeg, toleranceDeg } = bend.bend
  const bandPt = yOf(frame, wantedDeg + toleranceDeg)
  const heightPt = Math.max(yOf(frame, wantedDeg - toleranceDeg) - bandPt, 0.6)
  doc.rect(frame.xPt, bandPt, frame.widthPt, heightPt).fill(GROUND)
  doc.lineWidth(0.4).strokeColor(FAINT)
  doc.rect(frame.xPt, frame.yPt, frame.widthPt, frame.heightPt).stroke()
  const wantedPt = yOf(frame, wantedDeg)
  doc
    .moveTo(frame.xPt, wantedPt)
    .lineTo(frame.xPt + frame.widthPt, wantedPt)
    .stroke()
  curve(doc, frame, trace)
  marks(doc, frame, bend)
}

function noPicture(doc: PDFKit.PDFDocument, why: string, xPt: number, yPt: number): void {
  doc.lineWidth(0.4).strokeColor(FAINT)
  doc.rect(xPt + 22, yPt + 11, PICTURE_PT - 22, HIGH_PT - 24).stroke()
  line(doc, why, xPt + 28, yPt + HIGH_PT / 2 - 4, PICTURE_PT - 34)
}

function picture(paper: Paper, bend: CertifiedBend, xPt: number, yPt: number): void {
  const { doc } = paper
  const { wantedDeg, peakDeg, releasedDeg, bendNumber, id } = bend.bend
  const told = `${words.peak} ▽ ${degrees(peakDeg)}, ${words.released} ○ ${degrees(releasedDeg)}`
  const name = `${words.bendName(bendNumber)} (${words.record(id)}): ${told}`
  use(doc, 'plain', 6.5)
  line(doc, name, xPt, yPt + 1, PICTURE_PT)
  const { trace } = bend
  if (trace === null || trace.tS.length === 0) {
    noPicture(doc, words.noTrace, xPt, yPt)
    return
  }
  const frames = framesOf(bend, trace, xPt, yPt)
  for (const frame of frames) plot(doc, frame, bend, trace)
  use(doc, 'plain', 5.5)
  for (const frame of frames) {
    const under = (text: string, align: 'left' | 'right') =>
      line(doc, text, frame.xPt, yPt + HIGH_PT - 12, frame.widthPt, align)
    under(`${frame.fromS.toFixed(1)} s`, 'left')
    under(`${frame.toS.toFixed(1)} s`, 'right')
  }
  const [whole] = frames
  if (whole === undefined) return
  line(doc, `${wantedDeg}°`, xPt, yOf(whole, wantedDeg) - 3, 20, 'right')
  line(doc, '0°', xPt, yOf(whole, 0) - 6, 20, 'right')
}

/** The traces of a piece, two side by side; of bends without raw lines one sentence. */
export function* tracePictures(paper: Paper, bends: readonly CertifiedBend[]): Steps {
  const kept = bends.filter(({ bend }) => bend.rawLines > 0)
  if (kept.length > 0) heading(paper, words.traces, HIGH_PT)
  for (let first = 0; first < kept.length; first += COLUMNS) {
    paper.need(HIGH_PT)
    for (const [column, bend] of kept.slice(first, first + COLUMNS).entries()) {
      picture(paper, bend, LEFT_PT + column * (PICTURE_PT + GAP_PT), paper.yPt)
      yield
    }
    paper.yPt += HIGH_PT
  }
  const none = bends.filter(({ bend }) => bend.rawLines === 0).map(({ bend }) => bend.id)
  if (none.length === 0) return
  paper.yPt += 4
  yield* paragraph(paper, words.noLines(none, bends.length), 7.5)
}
