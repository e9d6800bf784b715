import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'

const folder = join(
  dirname(createRequire(import.meta.url).resolve('dejavu-fonts-ttf/package.json')),
  'ttf',
)

/** Faces with Latin, Greek, Cyrillic, Hebrew and Arabic letters, put into each file: names come from anywhere. */
const FACES = {
  plain: 'DejaVuSansCondensed.ttf',
  bold: 'DejaVuSansCondensed-Bold.ttf',
  mono: 'DejaVuSansMono.ttf',
} as const

type Face = keyof typeof FACES
export const FACE_NAMES = Object.keys(FACES) as readonly Face[]

export function addFaces(doc: PDFKit.PDFDocument): void {
  for (const [face, file] of Object.entries(FACES)) doc.registerFont(face, join(folder, file))
}

/** Reads each face and makes it ready, one a step: the first use takes longest. */
export function* openFaces(doc: PDFKit.PDFDocument): Generator<void, void> {
  for (const face of FACE_NAMES) {
    doc.font(face)
    yield
    for (const text of ['0', 'bend', '± 0.13°', 'Record 1,']) {
      doc.widthOfString(text)
      yield
    }
  }
}

/** Points. */
export const use = (doc: PDFKit.PDFDocument, face: Face, sizePt: number) =>
  doc.font(face).fontSize(sizePt).fillColor(INK)

export const INK = '#14202b'
export const FAINT = '#8a949d'
export const GROUND = '#e8edf0'
