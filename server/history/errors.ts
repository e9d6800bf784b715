/** Who can put it right: `caller` a better argument, `disk` a better disk (keep the bend, try again), `person` a person. */
type Remedy = 'caller' | 'disk' | 'person'

interface Entry {
  readonly remedy: Remedy
  /** `{at}` is the file or folder, `{what}` the particular. */
  readonly sentence: string
}

/** Every refusal of the history, one line a code. The code is stable; the sentence is for people. */
export const HISTORY_ERRORS = {
  HISTORY_MISSING: {
    remedy: 'caller',
    sentence: 'There is no bend history at {at}: look at the path.',
  },
  HISTORY_BAD_PATH: {
    remedy: 'caller',
    sentence: '{at} cannot be used ({what}): look at the path and the folders above it.',
  },
  HISTORY_FOREIGN: {
    remedy: 'caller',
    sentence: '{at} is not an Overbend history: give another folder or file.',
  },
  HISTORY_NEWER: {
    remedy: 'person',
    sentence:
      '{at} was written by a newer Overbend (schema {what}): install that version or newer.',
  },
  HISTORY_CORRUPT: {
    remedy: 'person',
    sentence: '{at} is damaged ({what}): keep it aside and restore the last backup.',
  },
  HISTORY_IN_USE: {
    remedy: 'person',
    sentence: '{at} is in use by {what}: stop that first, or take another folder.',
  },
  HISTORY_BUSY: {
    remedy: 'disk',
    sentence: '{at} is held by another program: close that program.',
  },
  HISTORY_DISK_FULL: {
    remedy: 'disk',
    sentence: 'The disk is full, {at} cannot grow: free some space; nothing already saved is lost.',
  },
  HISTORY_READ_ONLY: {
    remedy: 'disk',
    sentence: '{at} cannot be written to: make the folder writable for this user.',
  },
  HISTORY_DISK_FAULT: {
    remedy: 'disk',
    sentence: 'The disk refused {at} ({what}): look at the disk and its cable.',
  },
  HISTORY_TAKEN_AWAY: {
    remedy: 'disk',
    sentence:
      '{at} was taken away or replaced while it was recorded to: put the file back under its name, or stop the daemon and start it again.',
  },
  HISTORY_CLOSED: { remedy: 'caller', sentence: 'The history in {at} was closed before.' },
  HISTORY_BAD_BEND: { remedy: 'caller', sentence: 'This cannot be recorded as a bend: {what}.' },
  HISTORY_BAD_RAW: { remedy: 'caller', sentence: 'These raw lines cannot be kept: {what}.' },
  HISTORY_BAD_SETUP: { remedy: 'caller', sentence: 'This cannot be kept as a set-up: {what}.' },
  HISTORY_BAD_ENTRY: {
    remedy: 'caller',
    sentence: 'This cannot be entered in the readout log: {what}.',
  },
  HISTORY_BAD_ACT: { remedy: 'caller', sentence: 'This cannot be entered about a bend: {what}.' },
  HISTORY_BAD_CHAIN: {
    remedy: 'caller',
    sentence: 'This cannot be kept as a revision of the chain: {what}.',
  },
  HISTORY_BAD_PERSON: {
    remedy: 'caller',
    sentence: 'This cannot be entered in the log of people: {what}.',
  },
  HISTORY_BAD_EXPORT: {
    remedy: 'caller',
    sentence: 'This cannot be entered in the log of exports: {what}.',
  },
  HISTORY_BAD_PHOTO: {
    remedy: 'caller',
    sentence: 'This cannot be kept as a photo: {what}.',
  },
  HISTORY_BAD_SETTING: { remedy: 'caller', sentence: 'This setting cannot be kept: {what}.' },
  HISTORY_BAD_QUERY: { remedy: 'caller', sentence: 'The history cannot be asked this: {what}.' },
  HISTORY_NOTHING_BEFORE: {
    remedy: 'caller',
    sentence: 'There is nothing to archive: no record was started before {what}.',
  },
  HISTORY_EXISTS: {
    remedy: 'caller',
    sentence: '{at} exists already: nothing was done; give --replace to replace it.',
  },
  HISTORY_NOT_REPLACED: {
    remedy: 'caller',
    sentence: '{at} {what}, and is never written over: nothing was done; take another name.',
  },
  HISTORY_TAKEN: {
    remedy: 'caller',
    sentence: '{at} is there already and stays as it is: nothing was done; take another name.',
  },
  HISTORY_NOT_INTACT: {
    remedy: 'person',
    sentence: '{at} is not an intact history and was not used: {what}',
  },
} as const satisfies Record<string, Entry>

export type HistoryCode = keyof typeof HISTORY_ERRORS

/** A refusal of the history. `cause` holds what the disk or the database said. */
export class HistoryError extends Error {
  override readonly name = 'HistoryError'
  readonly code: HistoryCode
  readonly #what: string | undefined
  constructor(code: HistoryCode, facts: { at?: string; what?: string } = {}, cause?: unknown) {
    const { at = 'The history', what = 'unknown' } = facts
    const sentence = HISTORY_ERRORS[code].sentence
    super(
      sentence.replace('{at}', () => at).replace('{what}', () => what),
      { cause },
    )
    this.code = code
    this.#what = facts.what
  }

  /** The same of another file: whoever gave a backup knows nothing of the copy that it was found in. */
  about(at: string): HistoryError {
    const what = this.#what
    return new HistoryError(this.code, what === undefined ? { at } : { at, what }, this)
  }

  get remedy(): Remedy {
    return HISTORY_ERRORS[this.code].remedy
  }
}
