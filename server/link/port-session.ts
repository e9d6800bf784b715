import { readLines, withoutCr } from './line-reader.ts'
import type { Clock, ReceivedLine } from './link.ts'
import type { PortStream } from './serial-port.ts'
import { noteBytes, noteLines, type WireWatch, watchWire } from './wire-watch.ts'

/** One opening of a port: from here to its end everything is new, the parser too. */
export interface PortSession {
  readonly path: string
  readonly watch: WireWatch
  send(line: string): boolean
  overlong(): number
  /** Resolves when the port is free again; never rejects. */
  close(): Promise<void>
}

interface SessionEvents {
  readonly onLines: (lines: readonly ReceivedLine[]) => void
  /** The port has gone by itself, once. */
  readonly onGone: () => void
}

/** A device that takes nothing any more must not make us hold what it will never read. */
const WAITING_BYTES_MAX = 4096
/** Each line of the native protocol begins with it, and it stands nowhere else. */
const LINE_START = '$'

export function startSession(
  path: string,
  stream: PortStream,
  clock: Clock,
  { onLines, onGone }: SessionEvents,
): PortSession {
  const watch = watchWire(clock.nowS())
  const reader = readLines(stream, { tornUnless: LINE_START })
  const batch = batchLines(clock, (lines) => {
    noteLines(watch, lines.length)
    onLines(lines)
  })
  let isOver = false
  const end = (): void => {
    if (isOver) return
    isOver = true
    reader.stop()
  }
  const gone = (): void => {
    if (isOver) return
    end()
    onGone()
  }
  stream.on('data', (chunk: Buffer) => noteBytes(watch, clock.nowS(), chunk.length))
  reader.parser.on('data', batch)
  // Which of these comes, and whether any does, differs by system and adapter. `error` stays listened to for
  // good: an unplugged port may still raise one after everything else.
  for (const event of ['close', 'end', 'error']) stream.on(event, gone)
  return {
    path,
    watch,
    overlong: reader.overlong,
    send(line) {
      if (isOver || !stream.isOpen || stream.writableLength > WAITING_BYTES_MAX) return false
      stream.write(`${line}\r\n`, 'latin1')
      return true
    },
    close() {
      end()
      return closeStream(stream)
    },
  }
}

/** Gathers the lines of one chunk, which the parser gives one by one in the same turn. */
function batchLines(
  clock: Clock,
  hand: (lines: readonly ReceivedLine[]) => void,
): (line: string) => void {
  let batch: ReceivedLine[] = []
  const flush = (): void => {
    const lines = batch
    batch = []
    hand(lines)
  }
  return function take(line) {
    const text = withoutCr(line)
    if (text === '') return
    if (batch.length === 0) queueMicrotask(flush)
    batch.push({ arrivalS: clock.nowS(), text })
  }
}

/** A port that is closing by itself answers with an error, which means the same to us. */
const closeStream = (stream: PortStream): Promise<void> =>
  new Promise((resolve) => {
    if (stream.isOpen) stream.close(() => resolve())
    else resolve()
  })
