import type { Database } from 'better-sqlite3'
import { type ActRow, actRecord } from './act-record.ts'
import { makePhotoJudge } from './photos.ts'
import { type LogKind, makeHashes } from './verify-log.ts'

/** An act names bends by number and hash: a history written anew under it shows. */
function makeJudge(db: Database) {
  const bendHash = makeHashes(db, 'bend')
  const whyOtherPhoto = makePhotoJudge(db)
  return ({ id, kind, bend_id, record }: ActRow): string | null => {
    try {
      const evidence = actRecord.evidenceIn(record)
      if (evidence.id !== id) return 'its number is not that of its text'
      if (evidence.kind !== kind) return 'its column kind is not that of its text'
      if (evidence.bendId !== bend_id) return 'its column bend_id is not that of its text'
      const named = [evidence.bend, evidence.after]
      const isSame = named.every(({ number, hash }) => bendHash(number) === hash)
      if (!isSame) return 'the history holds another bend than it names'
      return evidence.kind === 'photo' ? whyOtherPhoto(evidence.sha256, evidence.type) : null
    } catch {
      return 'its text is no act'
    }
  }
}

export const ACT_LOG: LogKind<ActRow> = {
  table: 'act_log',
  name: 'the log of acts',
  entry: 'Act',
  sinceVersion: 3,
  makeJudge,
  // A photo may have 8 MiB, and every byte of it is hashed.
  isLong: ({ kind }) => kind === 'photo',
}
