import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { RefusalReason } from '../../firmware-protocol/codec/sentence.ts'

/** What a host must have counted when the session is over. */
export interface Tally {
  readonly starts: number
  readonly missing: number
  readonly duplicates: number
  readonly refused: number
}

export interface SessionLine {
  readonly from: 'host' | 'device'
  /** `odd`: valid, but not written as the codec writes it. */
  readonly state: 'good' | 'odd' | 'damaged'
  readonly reason: RefusalReason | null
  readonly line: string
  readonly lineNumber: number
}

export interface Session {
  readonly name: string
  readonly lines: readonly SessionLine[]
  readonly tally: Tally
}

const FOLDER = join(import.meta.dirname, '../../firmware-protocol/sessions')
const TALLY = /^= starts (\d+), missing (\d+), duplicates (\d+), refused (\d+)$/
const LINE = /^(?<side>[<>])(?:(?<odd>~)|(?<damaged>!) (?<reason>[a-z ]+):)? (?<line>.+)$/

/** The grammar of a session file is in SPECIFICATION.md, "Golden sessions". Anything else in a file is an error. */
export function parseSession(name: string, text: string): Session {
  const rows = text.split('\n')
  if (rows.pop() !== '') throw new Error(`${name} does not end with a line feed.`)
  const lines: SessionLine[] = []
  let tally: Tally | null = null
  for (const [index, row] of rows.entries()) {
    if (tally) throw new Error(`${name}:${index + 1} stands behind the tally.`)
    if (row.startsWith('#')) continue
    tally = parseTally(row)
    if (!tally) lines.push(parseLine(name, row, index + 1))
  }
  if (!tally) throw new Error(`${name} has no tally.`)
  return { name, lines, tally }
}

export const readSessions = (): Session[] =>
  readdirSync(FOLDER)
    .sort()
    .map((file) => parseSession(file, readFileSync(join(FOLDER, file), 'latin1')))

function parseTally(row: string): Tally | null {
  const match = TALLY.exec(row)
  if (!match) return null
  const [starts = 0, missing = 0, duplicates = 0, refused = 0] = match.slice(1).map(Number)
  return { starts, missing, duplicates, refused }
}

function parseLine(name: string, row: string, lineNumber: number): SessionLine {
  const parts = LINE.exec(row)?.groups
  if (!parts?.['line']) throw new Error(`${name}:${lineNumber} is no session line: ${row}`)
  return {
    from: parts['side'] === '<' ? 'device' : 'host',
    state: parts['odd'] ? 'odd' : parts['damaged'] ? 'damaged' : 'good',
    reason: (parts['reason'] as RefusalReason | undefined) ?? null,
    line: parts['line'],
    lineNumber,
  }
}
