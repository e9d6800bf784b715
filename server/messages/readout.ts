import { type Static, Type } from 'typebox'
import { name, oneOf, orNull, personName, strict } from './schema.ts'
import { Sensor } from './sensor.ts'

/** A counter of an incremental encoder may be many turns from its zero. */
const readoutDeg = (description: string) =>
  Type.Number({ minimum: -1e7, maximum: 1e7, description })
const knownDeg = (description: string) => Type.Number({ minimum: -720, maximum: 720, description })
const standardDeg = (description: string) =>
  Type.Number({ minimum: 0.000001, maximum: 90, description })
const sizeDeg = (description: string) => Type.Number({ minimum: 0, maximum: 1e7, description })
const who = personName('Who did it. This attributes it; it is no proof of identity.')

/** What an angle was known by. */
const Gauge = strict({
  name: name('What the shop calls the gauge.'),
  certificate: Type.String({
    maxLength: 80,
    description: 'Number of its certificate; empty: none.',
  }),
  dueOn: Type.Optional(
    Type.String({
      format: 'date',
      description: 'Day on which that certificate is due again; left out: not told.',
    }),
  ),
})

const temperatureC = Type.Optional(
  Type.Number({ minimum: -50, maximum: 80, description: 'Of the place meanwhile, °C.' }),
)

/** One known angle and what the readout showed there. */
export const CalibrationPoint = strict({
  readoutDeg: readoutDeg('Mean readout, before any calibration and any datum, degrees.'),
  readoutSdDeg: sizeDeg('Its standard deviation while it stood still; 0: not known.'),
  knownDeg: knownDeg('What the gauge showed, degrees.'),
  standardDeg: standardDeg('Standard uncertainty of that, degrees: half of a ±U with k = 2.'),
})
export type CalibrationPoint = Static<typeof CalibrationPoint>

const CURVE_KINDS = ['line', 'once', 'twice'] as const

/** What a calibration is made from. */
export const CalibrationAsk = strict({
  who,
  gauge: Gauge,
  toleranceDeg: Type.Number({
    minimum: 0.001,
    maximum: 90,
    description: 'Narrowest tolerance, either way, that the readout shall serve, degrees.',
  }),
  curve: Type.Optional(
    oneOf([...CURVE_KINDS, 'auto'], {
      description:
        'A line, or a line and the errors of a turn; auto (also if left out): as the points show.',
    }),
  ),
  // How many there must be, and why, is said by the fit, in a sentence of its own.
  points: Type.Array(CalibrationPoint, { maxItems: 1000 }),
  temperatureC,
})
export type CalibrationAsk = Static<typeof CalibrationAsk>

/** A curve through points, with how well it fits. */
export const CalibrationFit = strict({
  curve: oneOf(CURVE_KINDS),
  turnDeg: Type.Number({ description: 'Degrees of the die for 360° of the readout.' }),
  offsetDeg: Type.Number({ description: 'Angle at readout 0; a datum takes it off again.' }),
  harmonics: Type.Array(strict({ cosDeg: Type.Number(), sinDeg: Type.Number() }), {
    maxItems: 2,
    description: 'What is added once, and twice, a turn of the readout.',
  }),
  points: Type.Array(
    strict({
      ...CalibrationPoint.properties,
      residualDeg: Type.Number({ description: 'Known angle less curve.' }),
    }),
  ),
  residualSdDeg: orNull(Type.Number({ description: 'Null: no point to spare.' })),
  leaveOneOutDeg: orNull(
    Type.Number({
      description: 'Root mean square of each point off the curve through the others.',
    }),
  ),
  sparePoints: Type.Integer({ minimum: 0, description: 'Points less unknowns.' }),
  condition: Type.Integer({ description: 'Condition number of the fit, rounded up; 1 is best.' }),
  spanDeg: sizeDeg('Span of the known angles. Beyond it the curve is not known.'),
  repeatSdDeg: sizeDeg('Scatter of the readout standing still, over all points.'),
  gaugeStandardDeg: sizeDeg('Largest standard uncertainty of a known angle.'),
  uncertainty: Type.Array(
    strict({ atDeg: Type.Number(), standardDeg: sizeDeg('Of the curve there.') }),
    {
      description: 'Standard uncertainty of the curve at angles from the datum, from 0 on.',
    },
  ),
})
export type CalibrationFit = Static<typeof CalibrationFit>

const every = {
  schema: Type.Literal(1),
  at: Type.String({ description: 'ISO 8601 with offset.' }),
  station: name('Which bender.'),
  who,
  software: Type.String(),
  simulated: Type.Boolean(),
}

const sizeG = (description: string) => Type.Number({ minimum: -16, maximum: 16, description })

/** What the three axes of an accelerometer show while it stands still, in g as the board's scale has it. */
export const Axes = strict({
  xG: sizeG('Axis x.'),
  yG: sizeG('Axis y.'),
  zG: sizeG('Axis z.'),
})
export type Axes = Static<typeof Axes>

/** The sensor on each of its six sides, in any order. */
export const SixPositionsAsk = strict({
  who,
  // How many there must be, and why, is said by the fit, in a sentence of its own.
  positions: Type.Array(Axes, { maxItems: 100 }),
})
export type SixPositionsAsk = Static<typeof SixPositionsAsk>

const AxisCalibration = strict({
  offsetG: sizeG('What it shows lying level.'),
  unitG: sizeG('What 1 g adds.'),
})

const NewSixPositions = strict({
  kind: Type.Literal('six-positions'),
  ...every,
  sensor: Sensor,
  firmware: orNull(Type.String()),
  positions: SixPositionsAsk.properties.positions,
  x: AxisCalibration,
  y: AxisCalibration,
  z: AxisCalibration,
})
export type NewSixPositions = Static<typeof NewSixPositions>

const NewCalibration = strict({
  kind: Type.Literal('calibration'),
  ...every,
  sensor: Sensor,
  firmware: orNull(Type.String()),
  gauge: Gauge,
  toleranceDeg: CalibrationAsk.properties.toleranceDeg,
  hasFixedZero: Type.Boolean({ description: 'Whether readout 0 is one place for good.' }),
  temperatureC,
  asFound: Type.Optional(
    strict({
      calibration: orNull(
        Type.Integer({ minimum: 1, description: 'In force until then; null: none.' }),
      ),
      worstDeg: Type.Number({
        description:
          'Readout less known angle before it was adjusted, where it was farthest off; counted from the point nearest to 0.',
      }),
    }),
  ),
  ...CalibrationFit.properties,
})
export type NewCalibration = Static<typeof NewCalibration>

/** A kept bend of known angle, and how often and how closely the readout is held against it. */
export const ReferencePieceAsk = strict({
  who,
  name: name('What is written on the piece.'),
  knownDeg: Type.Number({ minimum: 1, maximum: 200, description: 'Its angle, degrees.' }),
  standardDeg: standardDeg('Standard uncertainty of that, degrees.'),
  gauge: Gauge,
  limitDeg: Type.Number({
    minimum: 0.001,
    maximum: 20,
    description: 'How far the readout may be off, either way, degrees.',
  }),
  everyDays: Type.Optional(
    orNull(
      Type.Integer({
        minimum: 1,
        maximum: 365,
        description: 'A check is due after so many days; null: after every start. 7 if left out.',
      }),
    ),
  ),
})
export type ReferencePieceAsk = Static<typeof ReferencePieceAsk>

const NewReferencePiece = strict({
  kind: Type.Literal('reference-piece'),
  ...every,
  ...ReferencePieceAsk.properties,
  everyDays: orNull(Type.Integer({ minimum: 1, maximum: 365 })),
})
export type NewReferencePiece = Static<typeof NewReferencePiece>

export const CheckAsk = strict({
  who,
  piece: Type.Integer({ minimum: 1, description: 'Number of the reference piece in the log.' }),
  temperatureC,
})
export type CheckAsk = Static<typeof CheckAsk>

const NewCheck = strict({
  kind: Type.Literal('check'),
  ...every,
  sensor: Sensor,
  piece: Type.Integer({ minimum: 1, description: 'Number of the reference piece in the log.' }),
  calibration: orNull(
    Type.Integer({ minimum: 1, description: 'Number of the calibration in force; null: none.' }),
  ),
  knownDeg: Type.Number(),
  readoutDeg: Type.Number({ description: 'What the readout showed, from the datum, degrees.' }),
  readoutSdDeg: sizeDeg('Its standard deviation while it stood still.'),
  differenceDeg: Type.Number({ description: 'Readout less known angle.' }),
  limitDeg: sizeDeg('How far it may be off.'),
  expandedDeg: orNull(sizeDeg('Expanded uncertainty of the difference, k as for 95 %.')),
  passed: Type.Boolean(),
  temperatureC,
})
export type NewCheck = Static<typeof NewCheck>

const ENTRY_KINDS = ['calibration', 'six-positions', 'reference-piece', 'check'] as const
export type EntryKind = (typeof ENTRY_KINDS)[number]

/** An act about the readout as it is handed to the history. */
export const NewReadoutEntry = Type.Union([
  NewCalibration,
  NewSixPositions,
  NewReferencePiece,
  NewCheck,
])
export type NewReadoutEntry = Static<typeof NewReadoutEntry>

const chained = {
  id: Type.Integer({ minimum: 1, description: 'Number in the log of the readout, from 1.' }),
  previousHash: Type.String({ description: 'SHA-256 of the entry before, hexadecimal.' }),
  hash: Type.String({ description: 'SHA-256 over the previous hash and this entry (RFC 8785).' }),
}

export const Calibration = strict({ ...NewCalibration.properties, ...chained })
export type Calibration = Static<typeof Calibration>
export const SixPositions = strict({ ...NewSixPositions.properties, ...chained })
export type SixPositions = Static<typeof SixPositions>
export const ReferencePiece = strict({ ...NewReferencePiece.properties, ...chained })
export type ReferencePiece = Static<typeof ReferencePiece>
export const Check = strict({ ...NewCheck.properties, ...chained })
export type Check = Static<typeof Check>
/** An act about the readout as it stands in its log: numbered, chained, never edited. */
export type ReadoutEntry = Calibration | SixPositions | ReferencePiece | Check

/** How a bend names an entry of that log. */
const EntryReference = strict({
  number: Type.Integer({ minimum: 1 }),
  at: Type.String({ description: 'When it was entered, ISO 8601 with offset.' }),
  hash: Type.String({ description: 'Its hash: another entry under this number would show.' }),
})

/** `none`: no reference piece was ever recorded, so no check is due. */
const STANDINGS = ['none', 'good', 'overdue', 'failed'] as const
export const Standing = oneOf(STANDINGS)
export type Standing = Static<typeof Standing>

/** What was known of the readout when a bend was made. */
export const BendReadout = strict({
  calibration: orNull(EntryReference),
  axes: Type.Optional(EntryReference),
  check: orNull(strict({ ...EntryReference.properties, passed: Type.Boolean() })),
  standing: Standing,
  why: orNull(Type.String({ description: 'One sentence when the check was overdue or failed.' })),
  releasedExpandedDeg: orNull(
    Type.Number({ minimum: 0, description: 'Expanded uncertainty of the released angle.' }),
  ),
})
export type BendReadout = Static<typeof BendReadout>

/** What stood still over the last second. */
export const Capture = strict({
  readoutDeg: readoutDeg('Mean readout, before any calibration and any datum, degrees.'),
  readoutSdDeg: sizeDeg('Its standard deviation.'),
  samples: Type.Integer({ minimum: 1 }),
})
export type Capture = Static<typeof Capture>

/** One line of the uncertainty of an angle. */
const BudgetLine = strict({
  name: Type.String(),
  standardDeg: Type.Number({ minimum: 0 }),
  degreesOfFreedom: orNull(Type.Number({ description: 'Null: without end.' })),
})

/** After a failed check: between which times the readout went wrong. */
const ReadoutDoubt = strict({
  goodAt: orNull(Type.String({ description: 'Its last check that passed, ISO 8601; null: none.' })),
  failedAt: Type.String({ description: 'The first that failed since.' }),
})
export type ReadoutDoubt = Static<typeof ReadoutDoubt>

/** What is known of the readout of the sensor in use. */
export const ReadoutState = strict({
  calibration: orNull(Calibration),
  axes: orNull(SixPositions),
  piece: orNull(ReferencePiece),
  check: orNull(Check),
  doubt: orNull(ReadoutDoubt),
  standing: Standing,
  why: orNull(Type.String({ description: 'One sentence when a check is overdue or failed.' })),
  dueAt: orNull(
    Type.String({ description: 'Next check; null: now, at the next start, or never.' }),
  ),
  uncertainty: orNull(
    strict({
      angleDeg: Type.Number({ description: 'At this angle from the datum.' }),
      lines: Type.Array(BudgetLine),
      standardDeg: Type.Number({ minimum: 0 }),
      coverage: Type.Number({ description: 'Coverage factor k for 95 %.' }),
      expandedDeg: Type.Number({ minimum: 0 }),
    }),
  ),
})
export type ReadoutState = Static<typeof ReadoutState>

export const EntryQuery = strict({
  before: Type.Optional(
    Type.Integer({ minimum: 1, description: 'Only entries older than this one.' }),
  ),
  limit: Type.Integer({ minimum: 1, maximum: 500, default: 50 }),
})
export type EntryQuery = Static<typeof EntryQuery>

/** Individuals and moving-range chart of the checks with one piece, oldest first. */
export const CheckChart = strict({
  piece: ReferencePiece,
  checks: Type.Array(
    strict({
      id: Type.Integer({ minimum: 1 }),
      at: Type.String(),
      differenceDeg: Type.Number(),
      passed: Type.Boolean(),
      isBeyond: Type.Boolean({ description: 'Beyond the limits of the chart.' }),
    }),
  ),
  limits: orNull(
    strict({
      centreDeg: Type.Number(),
      sigmaDeg: Type.Number({ description: 'Mean moving range over d2 = 1.128.' }),
      lowerDeg: Type.Number(),
      upperDeg: Type.Number(),
      meanRangeDeg: Type.Number(),
      upperRangeDeg: Type.Number(),
    }),
  ),
})
export type CheckChart = Static<typeof CheckChart>
