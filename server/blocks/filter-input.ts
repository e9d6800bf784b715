import { Type } from 'typebox'
import { BAD } from '../chain/column.ts'
import { UNITS, unitParameter } from '../chain/unit.ts'

/** Parameter of every filter: the unit of what goes through it. */
export const filteredUnit = unitParameter(
  UNITS,
  'deg',
  'Unit of the value, and of its own figures.',
)

/** Parameter of what remembers: how long a silence may be before what was known says nothing. */
export const gapParameter = (standardS: number) =>
  Type.Number({
    exclusiveMinimum: 0,
    maximum: 3600,
    default: standardS,
    description: 'After a longer silence it begins anew, seconds.',
  })

/** Beyond any sensor: what is larger would run a filter's memory over. */
const VALUE_MAX = 1e15
/** Values closer together in time than this are of one time. */
export const STEP_MIN_S = 1e-9

/** Quality of a value as it may be used: what is no number, or beyond any sensor, is bad whatever came with it. */
export const trueQuality = (value: number, quality: number): number =>
  quality >= BAD || Math.abs(value) <= VALUE_MAX ? quality : BAD
