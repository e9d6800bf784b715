/**
 * The longest line that is kept, without its ending. Three times what NMEA 0183 allows, so that a foreign
 * sensor's long sentence passes, and small enough that a wrong baud rate costs nothing.
 */
export const MAX_LINE_BYTES = 256

const CR = 0x0d
const LF = 0x0a

/** Cuts a stream of bytes, however it is chunked, into lines. Its memory never grows. */
export interface LineSplitter {
  push(chunk: Uint8Array): void
  /** The stream is over: what is left without an ending is a line too. */
  end(): void
  /** Lines thrown away so far because they had no end within the bound. */
  overlong(): number
}

/**
 * A line ends with CR LF, LF or CR; empty lines are not told of. Bytes become characters one to one
 * (ISO 8859-1), so that no byte is lost before the decoder judges it. A line longer than the bound is
 * counted once, when it passes the bound, and thrown away up to its end.
 *
 * Each byte is looked at once and copied at most twice, whatever the chunks are.
 */
export function makeLineSplitter(
  onLine: (line: string) => void,
  onOverlong: () => void = () => undefined,
): LineSplitter {
  const held = new Uint8Array(MAX_LINE_BYTES)
  let used = 0
  let skipping = false
  let overlong = 0

  function keep(piece: Uint8Array): void {
    if (skipping) return
    if (used + piece.length <= MAX_LINE_BYTES) {
      held.set(piece, used)
      used += piece.length
      return
    }
    skipping = true
    overlong++
    onOverlong()
  }

  function finish(): void {
    const length = skipping ? 0 : used
    skipping = false
    used = 0
    if (length > 0) onLine(textOf(held.subarray(0, length)))
  }

  return {
    push(chunk) {
      let from = 0
      for (let at = 0; at < chunk.length; at++) {
        if (chunk[at] !== CR && chunk[at] !== LF) continue
        keep(chunk.subarray(from, at))
        finish()
        from = at + 1
      }
      keep(chunk.subarray(from))
    },
    end: finish,
    overlong: () => overlong,
  }
}

/** `apply` takes typed arrays too; spreading one walks its iterator, which is six times as slow. */
const textOf = (bytes: Uint8Array): string =>
  String.fromCharCode.apply(null, bytes as unknown as number[])
