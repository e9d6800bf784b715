/** Test signals of the block reference: a number for each row, null where none is. `share` is the time as a share of the whole, 0 to 1. */
type Signal = (share: number, row: number) => number | null

/** Repeatable noise of about standard deviation 1: a sum of sines that fit nothing. Not for statistics. */
const noise = (row: number) =>
  (Math.sin(row * 12.9898) + Math.sin(row * 78.233 + 1) + Math.sin(row * 37.719 + 2)) * 0.8

/** From one number to another between two shares of the time. */
const ramp = (share: number, from: number, to: number) =>
  Math.min(1, Math.max(0, (share - from) / (to - from)))

const level = (share: number) =>
  share < 0.2 ? 0 : share < 0.45 ? 10 : 10 + 15 * ramp(share, 0.45, 0.75)

/** Degrees of a die in one bend: slack, load to 60°, hold, let off to 57°. */
const bend = (share: number) => 60 * ramp(share, 0.15, 0.6) - 3 * ramp(share, 0.7, 0.78)

const isWithin = (share: number, ...spans: readonly (readonly [number, number])[]) =>
  spans.some(([from, to]) => share >= from && share < to)

export const SIGNALS = {
  /** A step, a ramp, a little noise and one spike. */
  plain: (share, row) => level(share) + 0.4 * noise(row) + (row === 176 ? 25 : 0),
  /** The same without noise and spike. */
  clean: (share) => level(share),
  /** A ramp with a hum of 50 Hz at 200 rows a second. */
  hum: (share, row) => level(share) + 3 * Math.sin((2 * Math.PI * 50 * row) / 200),
  /** A second sensor: as plain, a little higher, and gone astray at the end. */
  astray: (share, row) => level(share) + 1 + 0.4 * noise(row + 500) + (share > 0.8 ? 8 : 0),
  /** A sensor that falls silent for a while. */
  gaps: (share, row) => (isWithin(share, [0.35, 0.6]) ? null : level(share) + 0.4 * noise(row)),
  train: (share) => Number(isWithin(share, [0.1, 0.3], [0.36, 0.4], [0.46, 0.5], [0.6, 0.9])),
  once: (share) => Number(isWithin(share, [0.52, 0.56])),
  bend: (share, row) => bend(share) + 0.03 * noise(row),
  spiked: (share, row) => bend(share) + 0.03 * noise(row) + (row === 80 || row === 200 ? 40 : 0),
  /** The arm of a bender that takes a new bite in the middle. */
  bites: (share) =>
    share < 0.5
      ? 30 * ramp(share, 0.1, 0.3) - 25 * ramp(share, 0.36, 0.46)
      : 5 + 35 * ramp(share, 0.54, 0.8),
  bar: (share) => 150 * ramp(share, 0.12, 0.4) - 150 * ramp(share, 0.7, 0.78),
  load: (share) => 60 * ramp(share, 0.15, 0.6),
  /** A counter of 32 bits with its wrap. */
  counts: (share) => (2 ** 31 - 4000 + Math.round(9000 * share)) | 0,
  /** The same without the wrap. */
  steady: (share) => Math.round(4096 * share),
  raw: (share) => Math.round(200 + 700 * ramp(share, 0.2, 0.8)),
  readings: (share) => (330 + 90 * share) % 360,
  tick: (_, row) => row * 5000,
  turn: () => 4096,
  rate: (share) => (isWithin(share, [0.15, 0.6]) ? 22 : 0),
  xCounts: (share) => Math.round(4096 * Math.cos(share * (Math.PI / 2))),
  yCounts: (share) => Math.round(4096 * Math.sin(share * (Math.PI / 2))),
  zero: () => 0,
} as const satisfies Record<string, Signal>
export type SignalName = keyof typeof SIGNALS

/** By port, where the table of examples names none. */
const BY_PORT: Readonly<Record<string, SignalName>> = {
  ...{ on: 'train', reset: 'once', tick: 'tick', countsPerTurn: 'turn', rate: 'rate' },
  ...{
    x: 'xCounts',
    y: 'yCounts',
    z: 'zero',
    countsPerG: 'turn',
    second: 'astray',
    b: 'astray',
    pressure: 'bar',
  },
  ...{ closed: 'train', bears: 'train', first: 'gaps', readings: 'readings' },
}

export function signalFor(port: string, unit: string): SignalName {
  const known = Object.hasOwn(BY_PORT, port) ? BY_PORT[port] : undefined
  if (known !== undefined) return known
  if (unit === 'count') return 'steady'
  return unit === 'bar' ? 'bar' : 'plain'
}
