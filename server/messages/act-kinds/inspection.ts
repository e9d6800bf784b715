import { type Static, Type } from 'typebox'
import { oneOf, orNull, strict } from '../schema.ts'
import { defineAct } from './act-kind.ts'

/** What an eye may find on a bend. */
export const FLAWS = ['wrinkles', 'flattened', 'kink', 'crack', 'marks', 'other'] as const
export type Flaw = (typeof FLAWS)[number]

/** By which definition a code limits ovality: of one bend one may pass where another fails. */
const OVALITY_BY = ['nominal', 'mean', 'ratio'] as const
export type OvalityBy = (typeof OVALITY_BY)[number]

const OD_MAX_MM = 2000
const WALL_MAX_MM = 500

const millimetres = (maximum: number, description: string) =>
  orNull(Type.Number({ exclusiveMinimum: 0, maximum, description: `${description}, mm.` }))

const InspectionLimits = strict({
  code: Type.String({
    minLength: 1,
    maxLength: 80,
    pattern: '\\S',
    description:
      'Designation of the code and clause that the limits are taken from; never its text.',
  }),
  ovality: orNull(
    strict({
      by: oneOf(OVALITY_BY, {
        description:
          'nominal: 100 (largest − smallest) / nominal OD, at most; mean: 200 (largest − smallest) / (largest + smallest), at most; ratio: smallest / largest, at least.',
      }),
      limit: Type.Number({
        exclusiveMinimum: 0,
        maximum: 100,
        description: 'Percent; of a ratio a number up to 1.',
      }),
    }),
  ),
  thinningMaxPercent: orNull(
    Type.Number({
      exclusiveMinimum: 0,
      maximum: 100,
      description: 'How much of the nominal wall may be gone at the outside of the bend, percent.',
    }),
  ),
})
export type InspectionLimits = Static<typeof InspectionLimits>

/** What was measured and seen on a bend with the tube in hand; each of its parts may be left out, not all of them. */
export const inspection = defineAct({
  kind: 'inspection',
  address: 'inspections',
  summary: 'Put down what was measured and seen on a bend: diameters, wall, looks',
  may: 'operator',
  unsigns: true,
  fields: {
    gauge: Type.String({
      minLength: 1,
      maxLength: 80,
      pattern: '\\S',
      description: 'What it was measured with; by eye, where nothing was measured.',
    }),
    largestOdMm: millimetres(OD_MAX_MM, 'Largest outside diameter in the bend'),
    smallestOdMm: millimetres(OD_MAX_MM, 'Smallest outside diameter at the same place'),
    wallMm: millimetres(WALL_MAX_MM, 'Thinnest wall at the outside of the bend'),
    looks: orNull(
      oneOf(['good', 'flawed'], { description: 'What the eye says; null: not looked at.' }),
    ),
    flaws: Type.Array(oneOf(FLAWS), { maxItems: FLAWS.length, uniqueItems: true }),
    limits: orNull(InspectionLimits),
    remark: orNull(Type.String({ minLength: 1, maxLength: 500, pattern: '\\S' })),
  },
})
