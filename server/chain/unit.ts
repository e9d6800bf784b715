import { Type } from 'typebox'

/** Units a connection may carry. `1` is a pure number. */
export const UNITS = [
  'count',
  'deg',
  'deg/s',
  'deg/s^2',
  's',
  'bar',
  'bar/s',
  'count/s',
  '1',
  '1/s',
] as const
export type Unit = (typeof UNITS)[number]

/** Those whose rate of change has a unit of the list too. */
export const UNITS_WITH_RATE = ['count', 'deg', 'deg/s', 's', 'bar', '1'] as const

export const rateUnits: Partial<Record<Unit, Unit>> = {
  count: 'count/s',
  deg: 'deg/s',
  'deg/s': 'deg/s^2',
  s: '1',
  bar: 'bar/s',
  '1': '1/s',
} satisfies Record<(typeof UNITS_WITH_RATE)[number], Unit>

/** A unit that a parameter of the block names: the value's own, or that of its rate. */
export interface UnitFrom {
  readonly parameter: string
  readonly as: 'itself' | 'its rate'
}

export const unitFrom = (parameter: string): UnitFrom => ({ parameter, as: 'itself' })
export const rateUnitFrom = (parameter: string): UnitFrom => ({ parameter, as: 'its rate' })

/** The parameter that names a unit, one of a list. */
export const unitParameter = <const U extends readonly Unit[]>(
  units: U,
  standard: U[number],
  description: string,
) =>
  Type.Unsafe<U[number]>(
    Type.Union(
      units.map((unit) => Type.Literal(unit)),
      { default: standard, description },
    ),
  )
