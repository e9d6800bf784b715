import { type Static, Type } from 'typebox'
import { oneOf, orNull, strict } from './schema.ts'

const deg = (description: string) => Type.Number({ description: `${description} Degrees.` })
const degOrNull = (description: string) => orNull(deg(description))
const count = (description: string) => Type.Integer({ minimum: 0, description })

const spread = {
  n: count('Values in it.'),
  meanDeg: degOrNull('Mean; null for none.'),
  sdDeg: degOrNull('Standard deviation (n - 1); null below two.'),
}

const bends = Type.Array(Type.Integer(), {
  maxItems: 200,
  description: 'The first of these bends.',
})

const extent = orNull(strict({ leastDeg: deg('Least.'), mostDeg: deg('Largest.') }))

const Rule = strict({
  name: oneOf(['beyond', 'side', 'trend', 'alternating', 'zone', 'within', 'outside'], {
    description: 'The kind of pattern.',
  }),
  sigmas: Type.Optional(Type.Number()),
  length: Type.Optional(Type.Integer()),
  least: Type.Optional(Type.Integer()),
})

const processField = (description: string) => oneOf(['station', 'die', 'lot'], { description })

const Mixed = strict({
  field: processField('Of which there is more than one.'),
  count: count('How many there are.'),
  names: Type.Array(strict({ name: Type.String(), n: count('Bends with it.') }), {
    maxItems: 20,
    description: 'The one bent with last first.',
  }),
})

const Point = strict({
  id: Type.Integer({ description: 'The bend.' }),
  startedMs: Type.Number({ description: 'Its start, milliseconds since 1970.' }),
  offDeg: deg('Released less wanted.'),
  toleranceDeg: deg('Its tolerance, either way.'),
  rangeDeg: degOrNull(
    'Step from the bend before it in the selection; null for the first and across a change of process.',
  ),
  broken: Type.Array(Type.String(), {
    description: 'Rules of which this bend completes the pattern; `range`: the step is too large.',
  }),
  changed: Type.Array(processField('Of these it has another than the point before it.')),
})

const ErrorChart = strict({
  ...spread,
  lowerDeg: degOrNull('Lower limit of single values; null for one bend.'),
  upperDeg: degOrNull('Upper limit of single values.'),
  sigmaWithinDeg: degOrNull('Mean moving range / d2.'),
  meanRangeDeg: degOrNull('Mean moving range.'),
  upperRangeDeg: degOrNull('Upper limit of a moving range.'),
  rules: Type.Array(strict({ rule: Rule, count: count('Bends that complete it.'), bends }), {
    description: 'Only the rules that are broken.',
  }),
  rangesBeyond: strict({ count: count('Steps beyond their limit.'), bends }),
  isStable: orNull(
    Type.Boolean({
      description:
        'No rule is broken and no step too large; null where that cannot be said: of one bend, of bends that do not vary, and of more than one process.',
    }),
  ),
  mixed: Type.Array(Mixed, {
    description:
      'What makes these bends more than one process; empty: one. Of more than one no moving range is made across a change, and there is no cp and cpk.',
  }),
  constants: strict({
    d2: orNull(Type.Number()),
    D4: orNull(Type.Number()),
    sigmas: orNull(Type.Number()),
    rules: Type.Array(Rule, { description: 'All that were looked for.' }),
  }),
  tolerance: extent,
  wanted: extent,
  capability: strict({
    why: orNull(Type.String({ description: 'Why there is none; null: there is.' })),
    level: Type.Number({ description: 'Confidence of the limits, both sides together.' }),
    indices: Type.Array(
      strict({
        name: oneOf(['cp', 'cpk', 'pp', 'ppk'], { description: 'Which index.' }),
        estimator: oneOf(['moving-ranges', 'all-values'], { description: 'Where sigma is from.' }),
        value: Type.Number(),
        low: Type.Number({ description: 'Lower confidence limit.' }),
        high: Type.Number({ description: 'Upper confidence limit.' }),
      }),
    ),
  }),
  points: Type.Array(Point, {
    maxItems: 2000,
    description:
      'In order. Of more, of each stretch the least and the largest, and bends that break a rule.',
  }),
})

/** Charts of all bends that a filter finds. */
export const BendCharts = strict({
  total: count('How many bends fit the filter.'),
  unmeasured: count('Of them: not void, without a released angle. They are in no figure.'),
  voided: strict({
    count: count('Of them: void. They are in no figure.'),
    points: Type.Array(
      strict({
        id: Type.Integer(),
        startedMs: Type.Number(),
        offDeg: deg('Released less wanted.'),
      }),
      { maxItems: 2000 },
    ),
  }),
  error: orNull(ErrorChart),
  lots: Type.Array(strict({ lot: Type.String(), ...spread, wanted: extent }), {
    maxItems: 200,
    description:
      'Springback by lot, the lot bent last first, and the angles wanted of these bends: only lots of one and the same angle can be compared.',
  }),
  lotsLeftOut: count('Further lots.'),
  causes: Type.Array(
    strict({
      cause: oneOf(['stop', 'tube', 'aim'], { description: 'Where the error came from.' }),
      ...spread,
      part: orNull(
        Type.Number({
          minimum: 0,
          maximum: 1,
          description: 'Part of the sum of the sizes of all three.',
        }),
      ),
    }),
    { description: 'Over bends of which they are known.' },
  ),
  readout: strict({
    n: count('Bends with a known uncertainty of the released angle.'),
    meanExpandedDeg: degOrNull('Its mean; it lies in each of the causes.'),
  }),
})
export type BendCharts = Static<typeof BendCharts>
