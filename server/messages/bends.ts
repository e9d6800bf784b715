import { type Static, Type } from 'typebox'
import { SIGNING_ROLES } from './act-kinds/signature.ts'
import { VERDICTS } from './find-choices.ts'
import { BendReadout } from './readout.ts'
import { angleDeg, name, oneOf, orNull, strict } from './schema.ts'
import { Die, Job, Sensor, Tube } from './setup.ts'

/**
 * From what a released angle is known under a sensor that loses sight of the tube, as one on the arm does;
 * `unknown`: it is not. Left out where the sensor saw the tube stand still.
 */
const ReleasedFrom = oneOf(['pressure', 'switch', 'touch', 'checked', 'unknown'])

/** One go at a bend: loaded once, let off once. A second go on the same clamped tube is another. */
export const Go = strict({
  commandedDeg: orNull(angleDeg('Where the prompt was set to stop, degrees from the datum.')),
  cueDeg: orNull(angleDeg('Angle when the stop was called.')),
  cueRateDegPerS: orNull(Type.Number({ description: 'Rate when the stop was called, deg/s.' })),
  peakDeg: angleDeg('Largest angle under load.'),
  peakAtS: Type.Number({ description: 'Seconds from the datum to the peak.' }),
  releasedDeg: orNull(angleDeg('Where the die stood still after letting off.')),
  releasedSeDeg: orNull(
    Type.Number({ minimum: 0, description: 'Standard error of the released angle.' }),
  ),
  releasedAtS: orNull(Type.Number({ description: 'Seconds from the datum to the plateau.' })),
  strokes: Type.Integer({ minimum: 1, description: 'Loading strokes in this go.' }),
  releasedFrom: Type.Optional(ReleasedFrom),
})
export type Go = Static<typeof Go>

/** What the model said before the bend was made, at the angle it was then taken to. */
export const Prediction = strict({
  springbackDeg: Type.Number({ description: 'Expected springback at the peak, degrees.' }),
  lowDeg: Type.Number({ description: 'Lower end of the 95 % interval of the springback.' }),
  highDeg: Type.Number({ description: 'Upper end of the 95 % interval of the springback.' }),
  degreesOfFreedom: Type.Number({ exclusiveMinimum: 0 }),
  bendsLearned: Type.Integer({
    minimum: 0,
    description: 'Bends of this set-up known before this one.',
  }),
})
export type Prediction = Static<typeof Prediction>

/** Of a bend that was not seen by a sensor here but taken over from an old notebook. */
export const Imported = strict({
  file: Type.String({ maxLength: 80, description: 'Name of the file.' }),
  sha256: Type.String({ description: 'Of its text, hexadecimal.' }),
  line: Type.Integer({ minimum: 1, description: 'Line of the file, from 1.' }),
  by: name('Who imported it.'),
  at: Type.String({ description: 'When, ISO 8601 with offset.' }),
})
export type Imported = Static<typeof Imported>

export { VERDICTS }
export const Verdict = oneOf(VERDICTS)
export type Verdict = Static<typeof Verdict>

/**
 * A bend as it is handed to the history: everything that was in force, nothing the history adds.
 * Angles in degrees from the datum, rounded to a millionth; lengths mm; times ISO 8601 with offset.
 */
export const NewBend = strict({
  schema: Type.Literal(1),
  startedAt: Type.String({ description: 'When the datum was set, ISO 8601 with offset.' }),
  finishedAt: Type.String({ description: 'When the bend was closed.' }),
  wantedDeg: angleDeg('Angle wanted after letting off.'),
  toleranceDeg: Type.Number({ minimum: 0 }),
  commandedDeg: orNull(angleDeg('Where the last go was to be taken.')),
  peakDeg: orNull(angleDeg('Largest angle under load in the last go.')),
  releasedDeg: orNull(angleDeg('Where the tube stood after the last go.')),
  releasedSeDeg: orNull(Type.Number({ minimum: 0 })),
  releasedFrom: Type.Optional(ReleasedFrom),
  springbackDeg: orNull(Type.Number({ description: 'Peak minus released of the last go.' })),
  checkedDeg: orNull(angleDeg('Angle finder reading, if one was taken.')),
  hits: Type.Integer({ minimum: 0, description: 'How many goes.' }),
  goes: Type.Array(Go, { maxItems: 50 }),
  verdict: Verdict,
  closedBy: Type.String({
    description: 'accepted, next datum, tube taken out, link lost, restart…',
  }),
  learned: oneOf(['yes', 'no']),
  notLearnedWhy: orNull(Type.String()),
  prediction: orNull(Prediction),
  setupId: Type.Integer({ minimum: 1 }),
  setup: strict({ station: Type.String(), die: Die, sensor: Sensor }),
  tube: Tube,
  job: Job,
  datumDeg: orNull(
    Type.Number({ description: 'Readout before the datum was taken off, degrees.' }),
  ),
  leadS: Type.Number({ description: 'Lead time of the stop cue, seconds.' }),
  chainRevision: Type.String(),
  calibration: Type.String(),
  verification: orNull(Type.String()),
  readout: Type.Optional(BendReadout),
  firmware: orNull(Type.String()),
  software: Type.String(),
  simulated: Type.Boolean({ description: 'True when the built-in bench made it.' }),
  imported: Type.Optional(Imported),
})
export type NewBend = Static<typeof NewBend>

/** A bend in the history: the names that scripts outside may rely on stand at the top level. */
export const Bend = strict({
  id: Type.Integer({ minimum: 1, description: 'Place in the history, from 1, without gaps.' }),
  ...NewBend.properties,
  lot: Type.String(),
  part: Type.String(),
  piece: Type.Integer(),
  bendNumber: Type.Integer(),
  operator: Type.String(),
  rawLines: Type.Integer({ minimum: 0 }),
  rawSha256: Type.String(),
  previousHash: Type.String({ description: 'SHA-256 of the record before, hexadecimal.' }),
  hash: Type.String({ description: 'SHA-256 over the previous hash and this record (RFC 8785).' }),
})
export type Bend = Static<typeof Bend>

/** What a row of the history list shows of the record. */
export const RecordedRow = Type.Pick(Bend, [
  'id',
  'startedAt',
  'finishedAt',
  'part',
  'piece',
  'bendNumber',
  'lot',
  'operator',
  'wantedDeg',
  'toleranceDeg',
  'commandedDeg',
  'peakDeg',
  'releasedDeg',
  'releasedFrom',
  'springbackDeg',
  'hits',
  'verdict',
  'simulated',
  'readout',
  'imported',
])

/** What people did about a bend, as far as a list shows it. */
export const BendMarks = strict({
  isVoid: Type.Boolean({ description: 'Declared void.' }),
  isAmended: Type.Boolean({ description: 'Other values stand beside recorded ones.' }),
  signed: orNull(
    oneOf(SIGNING_ROLES, { description: 'How far it is signed as it stands; null: it is not.' }),
  ),
})
export type BendMarks = Static<typeof BendMarks>

/** One row of the history list. */
export const BendRow = strict({
  ...RecordedRow.properties,
  marks: Type.Optional(BendMarks),
})
export type BendRow = Static<typeof BendRow>

/** The trace of one bend, recomputed from its raw lines by the chain. Column arrays of one length. */
export const BendTrace = strict({
  tS: Type.Array(Type.Number(), { description: 'Seconds from the datum.' }),
  angleDeg: Type.Array(Type.Number()),
})
export type BendTrace = Static<typeof BendTrace>
