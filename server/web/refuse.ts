import type { Refusal } from '../messages/commands.ts'
import { type ErrorCode, isErrorCode, sentenceOf, statusOf } from './errors.ts'
import { Refused } from './station-door.ts'

/** Refuses with the table's own sentence. */
export const refused = (code: ErrorCode, what?: string | number): Refused =>
  new Refused(code, sentenceOf(code, what))

/** What Fastify and Node call the same refusals. */
const FOREIGN_CODES: ReadonlyMap<unknown, ErrorCode> = new Map([
  ['FST_ERR_BAD_URL', 'bad-request'],
  ['FST_ERR_CTP_BODY_TOO_LARGE', 'too-large'],
  ['FST_ERR_CTP_EMPTY_JSON_BODY', 'bad-json'],
  ['FST_ERR_CTP_INVALID_JSON_BODY', 'bad-json'],
  ['FST_ERR_CTP_INVALID_CONTENT_LENGTH', 'bad-request'],
  ['FST_ERR_CTP_INVALID_MEDIA_TYPE', 'not-json'],
  ['ERR_HTTP_REQUEST_TIMEOUT', 'timed-out'],
  ['HPE_HEADER_OVERFLOW', 'headers-too-large'],
])

const FOREIGN_STATUSES: ReadonlyMap<number, ErrorCode> = new Map([
  [403, 'no-such-address'],
  [404, 'no-such-address'],
])

export interface Answer {
  readonly status: number
  readonly body: Refusal
}

function answer(code: ErrorCode, sentence: string, field?: string): Answer {
  const body = field === undefined ? { code, sentence } : { code, sentence, field }
  return { status: statusOf(code), body }
}

/** The history's own codes, the most particular first; its sentences are written for people. */
const HISTORY_CODES: readonly (readonly [RegExp, ErrorCode])[] = [
  [/^HISTORY_BAD_/, 'bad-input'],
  [/^HISTORY_(TAKEN|NOTHING_BEFORE)$/, 'nothing-to-do'],
  [/^HISTORY_DISK_FULL$/, 'storage-full'],
  [/^HISTORY_/, 'storage-failed'],
]

const historyCode = (code: unknown) =>
  HISTORY_CODES.find(([pattern]) => pattern.test(String(code)))?.[1]

/** A station may refuse with a code that the table does not know yet; its sentence still stands. */
const stationCode = (code: string): ErrorCode => (isErrorCode(code) ? code : 'not-now')

/** Node's HTTP parser names all its complaints so. */
const isUnreadable = (code: unknown) => typeof code === 'string' && code.startsWith('HPE_')

function foreignCode(code: unknown, statusCode: number): ErrorCode {
  const known = FOREIGN_CODES.get(code) ?? FOREIGN_STATUSES.get(statusCode)
  if (known) return known
  return isUnreadable(code) || (statusCode >= 400 && statusCode < 500) ? 'bad-request' : 'internal'
}

/**
 * Any error as the one envelope. Only sentences written for people leave the daemon: those of the
 * table, of `Refused` and of the history. All else is `internal`, without a word of its own.
 *
 * @param what Fills the gap in the table's sentence for errors that are not ours.
 */
export function answerFor(error: unknown, what?: string | number): Answer {
  if (error instanceof Refused) return answer(stationCode(error.code), error.message, error.field)
  if (!(error instanceof Error)) return answer('internal', sentenceOf('internal'))
  const { code, statusCode = 500 } = error as Error & { code?: unknown; statusCode?: number }
  const ofHistory = historyCode(code)
  if (ofHistory) return answer(ofHistory, error.message)
  const foreign = foreignCode(code, statusCode)
  return answer(foreign, sentenceOf(foreign, what))
}
