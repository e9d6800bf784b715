import type { Readable } from 'node:stream'
import { ReadlineParser } from '@serialport/parser-readline'
import { type GuardSpec, guardStream, makeLengthGuard } from './length-guard.ts'

export interface LineReader {
  /** Lines in batches: all that one chunk of bytes completed. */
  readonly parser: ReadlineParser
  overlong(): number
  stop(): void
}

export interface LineReaderSpec extends GuardSpec {
  readonly endIsLine?: boolean
}

/**
 * Bytes to lines. Made anew for each opening: bytes of before must not be glued to bytes of now. Latin-1 keeps
 * every byte as it is, so that the decoder judges them and nothing is lost before.
 */
export function readLines(stream: Readable, spec: LineReaderSpec): LineReader {
  const guard = makeLengthGuard(spec)
  const guarded = guardStream(guard, spec.endIsLine === true)
  // Object mode keeps lines apart where a reader takes several at once.
  const parser = new ReadlineParser({ encoding: 'latin1', readableObjectMode: true })
  stream.pipe(guarded).pipe(parser)
  return {
    parser,
    overlong: guard.overlong,
    stop() {
      stream.unpipe(guarded)
      guarded.destroy()
      parser.destroy()
    },
  }
}

/** A line without the CR of its ending. */
export const withoutCr = (line: string): string => (line.endsWith('\r') ? line.slice(0, -1) : line)
