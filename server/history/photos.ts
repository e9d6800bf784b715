import { createHash } from 'node:crypto'
import type { Database } from 'better-sqlite3'
import { PHOTO_MAX_BYTES, type PhotoType } from '../messages/act-kinds/photo.ts'
import type { KeptPhoto } from '../messages/photos.ts'
import { HistoryError } from './errors.ts'
import { hasTable } from './has-table.ts'
import type { Photo } from './history.ts'

/** How a file of each type begins; null: any byte. PNG (W3C), JPEG (ITU-T T.81), WebP (RFC 9649). */
const BEGINNINGS: Readonly<Record<PhotoType, readonly (number | null)[]>> = {
  'image/jpeg': [0xff, 0xd8, 0xff],
  'image/png': [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a],
  'image/webp': [...Buffer.from('RIFF'), null, null, null, null, ...Buffer.from('WEBP')],
}

/** What an image is, whatever its name says; null: none of those that are kept. */
function typeOf(image: Buffer): PhotoType | null {
  const types = Object.keys(BEGINNINGS) as PhotoType[]
  const begins = (type: PhotoType) =>
    BEGINNINGS[type].every((byte, at) => byte === null || image[at] === byte)
  return types.find(begins) ?? null
}

const sha256Of = (image: Buffer) => createHash('sha256').update(image).digest()

function checkedType(image: Buffer): PhotoType {
  if (image.length > PHOTO_MAX_BYTES)
    throw new HistoryError('HISTORY_BAD_PHOTO', {
      what: `it has ${image.length} bytes; ${PHOTO_MAX_BYTES} is the most`,
    })
  const type = typeOf(image)
  if (type === null)
    throw new HistoryError('HISTORY_BAD_PHOTO', { what: 'it is no JPEG, PNG or WebP image' })
  return type
}

/** Photos by their hash. One that is handed in twice lies there once. */
export function makePhotos(db: Database) {
  const insert = db.prepare<[Buffer, string, Buffer]>(
    'INSERT OR IGNORE INTO photo (sha256, type, image) VALUES (?, ?, ?)',
  )
  const select = db.prepare<[Buffer], { type: PhotoType; image: Buffer }>(
    'SELECT type, image FROM photo WHERE sha256 = ?',
  )
  return {
    addPhoto(image: Buffer): KeptPhoto {
      const type = checkedType(image)
      const sha256 = sha256Of(image)
      insert.run(sha256, type, image)
      return { sha256: sha256.toString('hex'), type, bytes: image.length }
    },
    photo: (sha256: string): Photo | null => select.get(Buffer.from(sha256, 'hex')) ?? null,
  }
}

/** Makes what says why an act's photo is not the one that was put there; null: it is. */
export function makePhotoJudge(db: Database): (sha256: string, type: string) => string | null {
  const select = hasTable(db, 'photo')
    ? db.prepare<[Buffer], { type: string; image: Buffer }>(
        'SELECT type, image FROM photo WHERE sha256 = ?',
      )
    : null
  return (sha256, type) => {
    const found = select?.get(Buffer.from(sha256, 'hex'))
    if (found === undefined) return 'its photo is gone'
    const isSame = sha256Of(found.image).toString('hex') === sha256 && found.type === type
    return isSame ? null : 'its photo is not the one that was put there'
  }
}
