import { type Static, Type } from 'typebox'
import { PIECE_MAX } from './find-choices.ts'
import { OwnMaterial } from './material.ts'
import { name, oneOf, orNull, personName, strict } from './schema.ts'
import { Sensor } from './sensor.ts'

export { Sensor } from './sensor.ts'

/** The former the tube is drawn round. Lengths in mm. */
export const Die = strict({
  name: name('What the shop calls this die.'),
  odMm: Type.Number({
    minimum: 3,
    maximum: 200,
    description: 'Tube OD the groove is made for, mm.',
  }),
  clrMm: Type.Number({ minimum: 5, maximum: 5000, description: 'Centreline radius, mm.' }),
})
export type Die = Static<typeof Die>

/** The tube as bought. */
export const Tube = strict({
  odMm: Type.Number({ minimum: 3, maximum: 200, description: 'Outside diameter, mm.' }),
  wallMm: Type.Number({ minimum: 0.2, maximum: 100, description: 'Wall thickness, mm.' }),
  material: name(
    'Key of the material table, for example 316l-annealed; or the name of a metal of the shop’s own.',
  ),
  ownMaterial: Type.Optional(OwnMaterial),
  lot: name('Lot or heat, as on the tube or its certificate.'),
})
export type Tube = Static<typeof Tube>

/** Die, tube and sensor together: what the springback model is learned for. */
export const Setup = strict({
  station: name('Which bender.'),
  die: Die,
  tube: Tube,
  sensor: Sensor,
})
export type Setup = Static<typeof Setup>

/** No piece has more bends. Whoever only ever bends on keeps the last number. */
export const BEND_NUMBER_MAX = 999

/** What a bend outside its tolerance costs, in any one unit: minutes of work, say. Only their ratio counts. */
const Costs = strict({
  oneMoreGo: Type.Number({
    minimum: 0.001,
    maximum: 1_000_000,
    description: 'Under: the tube is gone at once more.',
  }),
  scrap: Type.Number({
    minimum: 0.001,
    maximum: 1_000_000,
    description: 'Over: the tube is lost. From 0.01 to 100 times one more go.',
  }),
})

const ToleranceBy = strict({
  toleranceClass: oneOf(['f', 'm', 'c', 'v'], {
    description: 'Class of general tolerances: toleranceDeg is that of ISO 2768-1, table 3.',
  }),
  shorterLegMm: Type.Number({
    exclusiveMinimum: 0,
    maximum: 100_000,
    description: 'Length of the shorter leg beside the bend, mm: the class goes by it.',
  }),
})

/** Which pieces are measured by hand: the first one, and these. */
const Sampling = strict({
  everyNth: orNull(
    Type.Integer({ minimum: 1, maximum: PIECE_MAX, description: 'Each piece that it divides.' }),
  ),
  lastPiece: orNull(
    Type.Integer({ minimum: 1, maximum: PIECE_MAX, description: 'Number of the last piece.' }),
  ),
})

/** What is to be bent now. */
export const Job = strict({
  part: name('Part or drawing number.'),
  drawingRevision: Type.Optional(name('Of the drawing that is bent after; left out: not told.')),
  angleFinder: Type.Optional(
    name('Which one tubes are checked with, by name or number; left out: not told.'),
  ),
  piece: Type.Integer({ minimum: 1, maximum: PIECE_MAX, description: 'Which piece of the part.' }),
  bendNumber: Type.Integer({
    minimum: 1,
    maximum: BEND_NUMBER_MAX,
    description: 'Which bend of the piece.',
  }),
  wantedDeg: Type.Number({
    minimum: 0.5,
    maximum: 200,
    description: 'Angle after letting off, degrees.',
  }),
  toleranceDeg: Type.Number({
    minimum: 0.05,
    maximum: 20,
    description: 'Allowed departure either way, degrees.',
  }),
  operator: personName('Who bends. This attributes the bend; it is no proof of identity.'),
  costs: Type.Optional(Costs),
  toleranceBy: Type.Optional(ToleranceBy),
  sampling: Type.Optional(Sampling),
})
export type Job = Static<typeof Job>

/** A stored set-up: numbered, never edited; a change is a new number. */
export const StoredSetup = strict({
  id: Type.Integer({ minimum: 1 }),
  createdAt: Type.String(),
  setup: Setup,
})
export type StoredSetup = Static<typeof StoredSetup>
