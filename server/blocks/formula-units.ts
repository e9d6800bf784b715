import type { Unit } from '../chain/unit.ts'

/** Exponents of degree, second, bar and count. */
export type Dimension = readonly [deg: number, s: number, bar: number, count: number]

export const PURE: Dimension = [0, 0, 0, 0]

const dimensions: Readonly<Record<Unit, Dimension>> = {
  '1': PURE,
  deg: [1, 0, 0, 0],
  'deg/s': [1, -1, 0, 0],
  'deg/s^2': [1, -2, 0, 0],
  s: [0, 1, 0, 0],
  '1/s': [0, -1, 0, 0],
  bar: [0, 0, 1, 0],
  'bar/s': [0, -1, 1, 0],
  count: [0, 0, 0, 1],
  'count/s': [0, -1, 0, 1],
}
export const dimensionOf = (unit: Unit): Dimension => dimensions[unit]

const NAMES = ['deg', 's', 'bar', 'count'] as const

const each = (make: (place: 0 | 1 | 2 | 3) => number): Dimension => [
  make(0),
  make(1),
  make(2),
  make(3),
]

/** Exponents of roots are sums of thirds and the like, which doubles cannot hold to the last digit. */
export const sameDimension = (a: Dimension, b: Dimension): boolean =>
  a.every((exponent, place) => Math.abs(exponent - (b[place] as number)) <= 1e-9)

/** Of a·b^`power`. */
export const timesPower = (a: Dimension, b: Dimension, power: number): Dimension =>
  each((place) => a[place] + b[place] * power)

/** As a person writes it: `deg/s`, `deg^2·bar`, `a pure number`. */
export function dimensionName(dimension: Dimension): string {
  const part = (name: string, exponent: number) =>
    exponent === 1 ? name : `${name}^${Number(exponent.toFixed(4))}`
  const parts = NAMES.map((name, place) => ({ name, exponent: dimension[place] as number }))
  const above = parts.filter(({ exponent }) => exponent > 0)
  const below = parts.filter(({ exponent }) => exponent < 0)
  if (above.length + below.length === 0) return 'a pure number'
  const top = above.map(({ name, exponent }) => part(name, exponent)).join('·') || '1'
  return [top, ...below.map(({ name, exponent }) => part(name, -exponent))].join('/')
}
