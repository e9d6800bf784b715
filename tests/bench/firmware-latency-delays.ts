import type { SimulatedBoard } from '../../firmware-protocol/bench/simulated-board.ts'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import type { LiveMessage } from '../../server/messages/live.ts'

/** A message as the browser got it. */
export interface Heard {
  /** On the machine's monotonic clock. */
  readonly wallUs: number
  readonly text: string
}

export interface LatencyRun {
  /** In simulated time. */
  readonly edgesUs: readonly number[]
  /** Where that is 0 on the machine's clock. */
  readonly zeroUs: number
  readonly lines: ReturnType<SimulatedBoard['lines']>
  readonly heard: readonly Heard[]
}

/** 10 bits a character. */
const CHAR_US = 1e7 / 115_200
const ENDING_CHARS = 2
/** One count of 4,096 is 0.088°, and the smoother shows a third of a step at once. Else all stands still. */
const SHOWS_DEG = 0.015

interface SampleLine {
  readonly atUs: number
  readonly wallUs: number
  readonly counts: number
  readonly chars: number
}

function sampleLines(lines: LatencyRun['lines']): SampleLine[] {
  return lines.flatMap(({ atUs, wallUs, text }) => {
    const decoded = decodeLine(text)
    if (!decoded.ok || decoded.sentence.kind !== 'sample') return []
    const chars = text.length + ENDING_CHARS
    return [{ atUs, wallUs, counts: decoded.sentence.counts, chars }]
  })
}

/** Every sample at the browser in turn: its angle, and when its message came. */
function samplesOf(heard: readonly Heard[]): { readonly wallUs: number; readonly deg: number }[] {
  return heard.flatMap(({ wallUs, text }) => {
    const said = JSON.parse(text) as LiveMessage
    if (said.type !== 'samples') return []
    if (said.omitted > 0) throw new Error(`The browser missed ${said.omitted} samples.`)
    return said.angleDeg.map((deg) => ({ wallUs, deg }))
  })
}

/** Places at which something else stands than one place before, each the first of its step. */
function steps<T>(
  all: readonly T[],
  isOther: (before: T, now: T) => boolean,
  rest: number,
): number[] {
  const places: number[] = []
  for (let place = 1; place < all.length; place++) {
    const [before, now] = [all[place - 1], all[place]] as [T, T]
    if (isOther(before, now) && place - (places.at(-1) ?? -rest) >= rest) places.push(place)
  }
  return places
}

/** Fewer samples than lie between two edges, more than the smoother takes to stand still. */
const REST_SAMPLES = 25

/**
 * Milliseconds of each part of the way, an edge each. The nth sample line that shows an edge is the nth edge's
 * own; the browser shows it one sample later, by the spike guard's median of three.
 *
 * @throws Error when lines and browser do not tell of the same edges, sample for sample.
 */
export function delaysOf({ edgesUs, zeroUs, lines, heard }: LatencyRun): Record<string, number[]> {
  const sent = sampleLines(lines)
  const samples = samplesOf(heard)
  const own = steps(sent, (before, now) => before.counts !== now.counts, 1)
  const shown = steps(samples, (a, b) => Math.abs(b.deg - a.deg) > SHOWS_DEG, REST_SAMPLES)
    // Before the first edge it may move by as much when it starts.
    .slice(-edgesUs.length)
  if (own.length !== edgesUs.length || shown.length !== edgesUs.length)
    throw new Error(`${edgesUs.length} edges, ${own.length} on the wire, ${shown.length} shown.`)
  const ahead = new Set(own.map((place, edge) => (shown[edge] ?? Number.NaN) - place))
  if (ahead.size !== 1) throw new Error('The browser has other samples than the wire.')
  const rows = edgesUs.map((edgeUs, edge) => {
    const line = sent[own[edge] ?? -1] as SampleLine
    const shownAt = shown[edge] ?? -1
    const lastByteUs = line.atUs + CHAR_US
    const itsOwnUs = samples[shownAt - 1]?.wallUs ?? Number.NaN
    const shownUs = samples[shownAt]?.wallUs ?? Number.NaN
    return {
      'firmware: edge to the last byte of its line': lastByteUs - edgeUs,
      'of it the bare line at 115,200 baud': line.chars * CHAR_US,
      'simulator: last byte to the terminal': line.wallUs - zeroUs - lastByteUs,
      'daemon: terminal to the browser': itsOwnUs - line.wallUs,
      'all: edge to the browser': itsOwnUs - zeroUs - edgeUs,
      'until it is shown, a sample later': shownUs - zeroUs - edgeUs,
    }
  })
  const parts = Object.keys(rows[0] ?? {}) as (keyof (typeof rows)[number])[]
  return Object.fromEntries(parts.map((part) => [part, rows.map((row) => row[part] / 1000)]))
}
