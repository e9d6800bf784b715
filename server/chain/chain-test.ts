import { type Static, Type } from 'typebox'
import { END } from './names.ts'
import { strict } from './strict.ts'

/** Most values that one port is given: 50 s at 200 Hz. */
const VALUES_MAX = 10_000

const end = (description: string) => Type.String({ pattern: END, description })

const Feed = strict({
  at: end('Where they go in: an input, as smoother.angle; link.line takes whole lines.'),
  startS: Type.Optional(
    Type.Number({ default: 0, description: 'Time of the first value, seconds.' }),
  ),
  everyS: Type.Number({
    exclusiveMinimum: 0,
    maximum: 3600,
    description: 'From one value to the next, seconds.',
  }),
  values: Type.Array(Type.Unknown(), {
    minItems: 1,
    maxItems: VALUES_MAX,
    description:
      'A number, null for none, {"value": 3, "quality": "bad"}, {"repeat": 100, "value": 3}; ' +
      'of an input that takes items, the items.',
  }),
})

const Expect = strict({
  at: end('Where they come out: an output, as smoother.rate.'),
  atS: Type.Number({ description: 'The last value up to this time counts, seconds.' }),
  value: Type.Optional(
    Type.Union([Type.Number(), Type.Null()], { description: 'null: no value came until then.' }),
  ),
  tolerance: Type.Optional(
    Type.Number({ minimum: 0, default: 1e-9, description: 'In the unit of the value.' }),
  ),
  quality: Type.Optional(
    Type.Union([Type.Literal('good'), Type.Literal('uncertain'), Type.Literal('bad')], {
      description: 'Not looked at where it is left out.',
    }),
  ),
  item: Type.Optional(
    Type.Unknown({ description: 'Of an item, what it must hold at least; null: none came.' }),
  ),
})
export type ChainTestExpect = Static<typeof Expect>

/** A test that a chain file carries: values in at some ports, values expected out at others. */
export const ChainTest = strict({
  name: Type.String({ minLength: 1, maxLength: 100, pattern: '\\S' }),
  feed: Type.Array(Feed, { minItems: 1, maxItems: 20 }),
  expect: Type.Array(Expect, { minItems: 1, maxItems: 1000 }),
})
export type ChainTest = Static<typeof ChainTest>
