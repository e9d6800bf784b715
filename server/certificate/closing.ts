import type { Certificate } from './certificate.ts'
import { FACE_NAMES } from './faces.ts'

/**
 * Puts a file into the PDF byte for byte, so that it is found there without a reader of PDF. ISO 32000-2, 7.11.4; the
 * MD5 that may stand beside a file is left out: the library takes long to make it, and the seal holds every byte.
 */
export function attach(
  doc: PDFKit.PDFDocument,
  { name, bytes }: NonNullable<Certificate['attachment']>,
  at: Date,
): void {
  doc.compress = false
  const file = doc.ref({
    ...{ Type: 'EmbeddedFile', Subtype: 'application#2Fjsonl' },
    Params: { CreationDate: at, ModDate: at, Size: bytes.length },
  })
  file.end(bytes)
  const text = Object(name) as object
  const described = { Type: 'Filespec', AFRelationship: 'Unspecified', F: text, UF: text }
  const filespec = doc.ref({ ...described, EF: { F: file } })
  filespec.end(undefined)
  doc.addNamedEmbeddedFile(name, filespec)
  doc.compress = true
}

interface WithFont {
  /** The face in use, which is put into the file once. */
  readonly _font: { finalize(): void }
}

/** What has been written so far and not yet taken. */
export function taken(doc: PDFKit.PDFDocument): Buffer[] {
  const part = doc.read() as Buffer | null
  return part === null ? [] : [part]
}

/** Ends a document: face after face, a step each. */
export function* endOf(doc: PDFKit.PDFDocument): Generator<void, Buffer[], void> {
  const parts: Buffer[] = []
  for (const face of FACE_NAMES) {
    const { _font: font } = doc.font(face) as unknown as WithFont
    font.finalize()
    parts.push(...taken(doc))
    yield
  }
  doc.end()
  return [...parts, ...taken(doc)]
}
