import type { Axes, SixPositions } from '../../../server/messages/readout.ts'
import type { SignedAxis } from '../../../server/messages/sensor.ts'
import { SKEW_MAX_DEG } from '../../../server/quality/accelerometer-fit.ts'

/** By the axis that points up; in the order in which a hand turns it: over, on end, on edge. */
export const SIDES = ['+z', '-z', '+x', '-x', '+y', '-y'] as const satisfies readonly SignedAxis[]

/** How a sensor stands: the side that is nearest to squarely up, and how far it leans from that. */
export interface Stance {
  readonly side: SignedAxis
  readonly leanDeg: number
}

const NAMES = ['x', 'y', 'z'] as const
type Triple = readonly [number, number, number]
const tripleOf = ({ xG, yG, zG }: Axes): Triple => [xG, yG, zG]

/** How a sensor stands by what its axes show; in free fall, where they show nothing, askew by 90°. */
export function stanceOf(axes: Axes): Stance {
  const triple = tripleOf(axes)
  const sizes = triple.map(Math.abs)
  const upright = sizes.indexOf(Math.max(...sizes))
  const lying = sizes.filter((_, axis) => axis !== upright)
  const upG = triple[upright] ?? 0
  const leanDeg = upG === 0 ? 90 : (Math.atan2(Math.hypot(...lying), Math.abs(upG)) * 180) / Math.PI
  return { side: `${upG < 0 ? '-' : '+'}${NAMES[upright] ?? 'x'}`, leanDeg }
}

/** Whether a side can be told: the fit would refuse one that leans further. */
export const isSquare = ({ leanDeg }: Stance): boolean => leanDeg <= SKEW_MAX_DEG

/** What the axes showed at a moment of the page's own clock. */
export interface Look {
  readonly atMs: number
  readonly axes: Axes
}

/** A hand that lets go is still for less; and longer than this nobody likes to wait, six times. */
const STILL_MS = 1000
/** Between the least and the most of a second: 1 mg either way, which turns an angle by 0.057°. */
const STILL_G = 0.002
/** Two looks say only that it came back to where it was. */
const LOOKS_LEAST = 3

/** The looks that tell whether it stands still now: a second of them, or three where they come slowly. */
export function lastSecond(looks: readonly Look[]): readonly Look[] {
  const sinceMs = (looks.at(-1)?.atMs ?? 0) - STILL_MS
  const before = looks.findLastIndex(({ atMs }) => atMs <= sinceMs)
  return looks.slice(Math.max(0, Math.min(before, looks.length - LOOKS_LEAST)))
}

/** Whether the axes stood still for a second, by looks of which the oldest comes first. */
export function isStill(looks: readonly Look[]): boolean {
  const recent = lastSecond(looks)
  const [first, last] = [recent[0], recent.at(-1)]
  if (!(first && last && recent.length >= LOOKS_LEAST)) return false
  if (!(last.atMs - first.atMs >= STILL_MS)) return false
  return [0, 1, 2].every((axis) => {
    const shown = recent.map(({ axes }) => tripleOf(axes)[axis] ?? Number.NaN)
    return Math.max(...shown) - Math.min(...shown) <= STILL_G
  })
}

/** What offset and gain leave unexplained. */
export interface LeftOver {
  /** Largest departure of a corrected side from 1 g. */
  readonly offG: number
  /** Largest lean of a corrected side from squarely up. */
  readonly leanDeg: number
}

/** How nearly each side, corrected, is 1 g straight up: the axes' skew and the hand's both show here. */
export function leftOver({ positions, x, y, z }: SixPositions): LeftOver {
  const sides = positions.map(({ xG, yG, zG }) => ({
    xG: (xG - x.offsetG) / x.unitG,
    yG: (yG - y.offsetG) / y.unitG,
    zG: (zG - z.offsetG) / z.unitG,
  }))
  return {
    offG: Math.max(...sides.map((side) => Math.abs(Math.hypot(...tripleOf(side)) - 1))),
    leanDeg: Math.max(...sides.map((side) => stanceOf(side).leanDeg)),
  }
}
