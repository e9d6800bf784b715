import { Transform } from 'node:stream'
import { MAX_LINE_BYTES } from '../../firmware-protocol/codec/line-splitter.ts'

const LF = 0x0a
const CR = 0x0d

/**
 * Lets whole lines through and keeps at most one unfinished line back, so that what stands behind it never
 * holds more than it was given: the line parser of the serial library has no bound of its own.
 */
export interface LengthGuard {
  /** The lines that end in this chunk, with their endings; empty when none does. */
  pass(chunk: Uint8Array): Buffer
  /** What is left at the end, as a line; for files, whose last line may lack its ending. */
  end(): Buffer
  /** Lines thrown away so far because they were longer than the bound. */
  overlong(): number
}

export interface GuardSpec {
  /** Longest line without its ending, bytes. */
  readonly maxBytes?: number
  /**
   * After opening a port the first line is mostly half a line, and is thrown away: all but one that begins
   * with this character, which stands nowhere else in a line. It is whole, and may be what was asked for.
   */
  readonly tornUnless?: string
}

/** A line ends with LF; a CR before it belongs to the ending. Longer lines go whole, and are counted. */
export function makeLengthGuard(spec: GuardSpec = {}): LengthGuard {
  const { maxBytes = MAX_LINE_BYTES, tornUnless } = spec
  const held = Buffer.alloc(maxBytes + 1)
  let used = 0
  let skipping = false
  let mayBeTorn = tornUnless !== undefined
  let overlong = 0

  function dropLine(): void {
    skipping = true
    used = 0
    overlong++
  }

  /** A piece without LF, the line's last one when `isLast`. */
  function keep(piece: Uint8Array, isLast: boolean): void {
    if (mayBeTorn && piece.length > 0) {
      skipping = piece[0] !== tornUnless?.charCodeAt(0)
      mayBeTorn = false
    }
    if (skipping) return
    if (used + piece.length > held.length) {
      dropLine()
      return
    }
    held.set(piece, used)
    used += piece.length
    const endsInCr = used > 0 && held[used - 1] === CR
    const length = isLast && endsInCr ? used - 1 : used
    // A CR at the bound may still be the ending's; anything else there is one too many.
    if (length > maxBytes && !(endsInCr && !isLast)) dropLine()
  }

  function takeLine(whole: Buffer[]): void {
    if (!(skipping || mayBeTorn)) whole.push(Buffer.from(held.subarray(0, used)), LINE_END)
    skipping = false
    mayBeTorn = false
    used = 0
  }

  return {
    pass(chunk) {
      const whole: Buffer[] = []
      let from = 0
      for (let at = chunk.indexOf(LF); at >= 0; at = chunk.indexOf(LF, from)) {
        keep(chunk.subarray(from, at), true)
        takeLine(whole)
        from = at + 1
      }
      keep(chunk.subarray(from), false)
      return Buffer.concat(whole)
    },
    end() {
      const whole: Buffer[] = []
      if (used > 0) takeLine(whole)
      return Buffer.concat(whole)
    },
    overlong: () => overlong,
  }
}

const LINE_END = Buffer.from([LF])

/** The guard as a stream. A stream that breaks off gives no half line; `endIsLine` is for files. */
export function guardStream(guard: LengthGuard, endIsLine: boolean): Transform {
  return new Transform({
    transform(chunk: Buffer, _encoding, done) {
      const whole = guard.pass(chunk)
      done(null, whole.length > 0 ? whole : undefined)
    },
    flush(done) {
      const rest = endIsLine ? guard.end() : Buffer.alloc(0)
      done(null, rest.length > 0 ? rest : undefined)
    },
  })
}
