/** What an archive's note says. */
interface ArchiveNote {
  readonly name: string
  readonly records: number
  /** Of them, how many from before `before`. */
  readonly count: number
  readonly before: string
  readonly head: string
  readonly sha256: string
}

/** The note that making an archive leaves at the last record of its years. */
export const archiveNote = ({ name, records, count, before, head, sha256 }: ArchiveNote) =>
  `Archived in ${name}: ${records} records, ${count} of them from before ${before}; head ${head}, SHA-256 of the file ${sha256}.`

/** Fits such a note, as SQLite's GLOB has it: it says nothing of the bend it stands at. */
export const ARCHIVE_NOTE = 'Archived in *; head *, SHA-256 of the file *.'
