import { createHash } from 'node:crypto'
import { closeSync, openSync, readSync } from 'node:fs'
import canonicalize from 'canonicalize'
import { nextHash } from './chain-hash.ts'
import type { CheckingKey } from './key.ts'
import { SIGNED_FORMAT, SIGNED_VERSION, type SignedEnd } from './signed-lines.ts'

/** What a signed file says, checked. `why`: one plain sentence; null when it is intact. */
export interface CheckedFile {
  readonly intact: boolean
  readonly why: string | null
  readonly bends: number
  readonly acts: number
  readonly at: string | null
  readonly fingerprint: string
}

interface Entry {
  readonly record: { readonly id?: unknown; readonly bendId?: unknown }
  readonly previousHash: string
  readonly hash: string
}

interface Line {
  readonly format?: unknown
  readonly version?: unknown
  readonly at?: unknown
  readonly bend?: Entry
  readonly act?: Entry
  readonly end?: SignedEnd
}

/** A bend with its goes takes some kB; a line beyond this is none of ours. */
const LINE_BYTES_MAX = 16 * 1024 * 1024
const CHUNK_BYTES = 64 * 1024
const LINE_END = 0x0a

/** What is wrong with a file, as one sentence. */
class Fault extends Error {}

function fault(sentence: string): never {
  throw new Fault(sentence)
}

function* chunksOf(file: string): Generator<Buffer> {
  const handle = openSync(file, 'r')
  try {
    const chunk = Buffer.alloc(CHUNK_BYTES)
    for (let size = 1; size > 0; ) {
      size = readSync(handle, chunk, 0, CHUNK_BYTES, null)
      yield chunk.subarray(0, size)
    }
  } finally {
    closeSync(handle)
  }
}

/** Lines as bytes, each with its end: text readers end a line where JSON does not. */
function* linesIn(chunks: Iterable<Buffer>): Generator<Buffer> {
  let rest = Buffer.alloc(0)
  for (const chunk of chunks) {
    rest = Buffer.concat([rest, chunk])
    for (let at = rest.indexOf(LINE_END); at >= 0; at = rest.indexOf(LINE_END)) {
      yield rest.subarray(0, at + 1)
      rest = rest.subarray(at + 1)
    }
    if (rest.length > LINE_BYTES_MAX) fault('It is no signed export: it holds no lines.')
  }
  if (rest.length > 0) yield rest
}

function parsed(bytes: Buffer, number: number): Line {
  if (bytes.at(-1) !== LINE_END && number > 1) fault(`The file is cut off in line ${number}.`)
  try {
    const value: unknown = JSON.parse(bytes.toString('utf8'))
    if (isGroup(value)) return value
  } catch {
    // Told below, like a line that is no group.
  }
  return fault(
    number === 1
      ? 'It is no signed export: its first line does not say so.'
      : `Line ${number} was altered: it is no JSON object.`,
  )
}

function checkFirst({ format, version }: Line): void {
  if (format !== SIGNED_FORMAT) fault('It is no signed export: its first line does not say so.')
  if (version === SIGNED_VERSION) return
  const known = `this program reads version ${SIGNED_VERSION}`
  if (typeof version !== 'number') fault(`Line 1 was altered: it names no version; ${known}.`)
  const kind = version > SIGNED_VERSION ? 'newer' : 'older'
  fault(`It is a signed export of the ${kind} version ${version}; ${known}.`)
}

const isGroup = (value: unknown): value is object => typeof value === 'object' && value !== null

function checkEntry(what: 'bend' | 'act', entry: Entry, number: number): void {
  if (!isGroup(entry?.record)) fault(`Line ${number} was altered: it holds no record.`)
  const where = `Line ${number} (${what} ${String(entry?.record?.id)})`
  try {
    const hash = nextHash(Buffer.from(entry.previousHash, 'hex'), canonicalize(entry.record) ?? '')
    if (hash.toString('hex') === entry.hash) return
  } catch {
    // No entry at all: told like one whose hash is another.
  }
  fault(`${where} was altered: its hash is not that of its text.`)
}

function checkSignature(end: SignedEnd, key: CheckingKey): void {
  const { signature, ...signed } = end
  if (typeof signature !== 'string' || signature === '') fault('The file is not signed.')
  if (end.fingerprint !== key.fingerprint)
    fault(
      `It is signed with another key: the file names the fingerprint ${end.fingerprint}, the key given has ${key.fingerprint}.`,
    )
  if (!key.fits(canonicalize(signed) ?? '', signature))
    fault('The last line was altered: the signature does not fit it.')
}

/** Counts what is there, and holds it against what was signed. */
function makeCount(key: CheckingKey) {
  const digest = createHash('sha256')
  const there = { bends: 0, acts: 0 }
  let at: string | null = null
  let end: SignedEnd | null = null
  let lastBend: unknown

  function take(bytes: Buffer, number: number): void {
    if (end !== null) fault(`Line ${number} was put in: it stands after the signature.`)
    const line = parsed(bytes, number)
    if (number === 1) {
      checkFirst(line)
      at = String(line.at)
    } else if (line.end !== undefined) {
      end = line.end
      if (bytes.toString('utf8') !== `${canonicalize({ end })}\n`)
        fault('The last line was altered: it is not in canonical form.')
      return
    } else if (line.bend !== undefined) {
      checkEntry('bend', line.bend, number)
      there.bends += 1
      lastBend = line.bend.record.id
    } else if (line.act !== undefined) {
      checkEntry('act', line.act, number)
      if (line.act.record.bendId !== lastBend)
        fault(`Line ${number} was moved: it is an act about another bend.`)
      there.acts += 1
    } else fault(`Line ${number} was altered: it is no bend, no act and no end.`)
    digest.update(bytes)
  }

  function finish(): void {
    const signed =
      end ?? fault('The file is cut off: its last line, with the signature, is missing.')
    checkSignature(signed, key)
    for (const what of ['bends', 'acts'] as const)
      if (signed[what] !== there[what])
        fault(`${signed[what]} ${what} were signed, ${there[what]} are there: removed or put in.`)
    if (digest.digest('hex') !== signed.sha256)
      fault('A line was altered, moved or exchanged: the lines are not those that were signed.')
  }

  return { take, finish, said: () => ({ ...there, at, fingerprint: key.fingerprint }) }
}

/** Checks a signed export that comes in pieces. */
export function checkSignedChunks(chunks: Iterable<Buffer>, key: CheckingKey): CheckedFile {
  const count = makeCount(key)
  try {
    let number = 0
    for (const bytes of linesIn(chunks)) count.take(bytes, ++number)
    if (number === 0) fault('The file is empty.')
    count.finish()
    return { intact: true, why: null, ...count.said() }
  } catch (error) {
    if (!(error instanceof Fault)) throw error
    return { intact: false, why: error.message, ...count.said() }
  }
}

/**
 * Checks a signed export with a public key alone, in constant memory.
 *
 * @throws Error of the disk where the file cannot be read.
 */
export const checkSignedFile = (file: string, key: CheckingKey): CheckedFile =>
  checkSignedChunks(chunksOf(file), key)
