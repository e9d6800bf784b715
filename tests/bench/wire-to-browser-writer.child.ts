import { openSync, writeSync } from 'node:fs'
import { helloLine, sampleLine } from './wire-to-browser-samples.ts'

// The boards of a benchmark: one sample after the other on each wire, in a process of its own that waits
// between them without a timer's coarseness. It keeps the moment before each was written.

export interface Order {
  /** Far ends of the wires. */
  readonly wires: readonly string[]
  readonly rateHz: number
  readonly samples: number
}

/** By wire: milliseconds on the clock that all processes of the machine share. */
export type Sent = readonly number[][]

const nowMs = () => Number(process.hrtime.bigint()) / 1e6
const idle = new Int32Array(new SharedArrayBuffer(4))

function waitUntil(atMs: number): void {
  const waitMs = atMs - nowMs()
  if (waitMs > 0) Atomics.wait(idle, 0, 0, waitMs)
}

function writeAll(wire: number, text: string): void {
  const bytes = Buffer.from(text, 'latin1')
  for (let at = 0; at < bytes.length; ) at += writeSync(wire, bytes, at)
}

/** The wires take turns within a period: of two, the second gets its sample half a period later. */
function run({ wires, rateHz, samples }: Order): Sent {
  const open = wires.map((path) => openSync(path, 'r+'))
  const sent: Sent = wires.map(() => [])
  // What comes before the first line ending may be half a line: the daemon lets it go.
  for (const wire of open) writeAll(wire, `\r\n${helloLine(rateHz)}\r\n`)
  const startMs = nowMs() + 10
  for (let nth = 0; nth < samples; nth++) {
    const line = `${sampleLine(nth, rateHz)}\r\n`
    for (const [which, wire] of open.entries()) {
      waitUntil(startMs + (1000 * (nth + which / wires.length)) / rateHz)
      sent[which]?.push(nowMs())
      writeAll(wire, line)
    }
  }
  return sent
}

process.once('message', (order: Order) => {
  process.send?.(run(order), () => process.exit(0))
})
