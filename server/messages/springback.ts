import { type Static, Type } from 'typebox'
import { DECISIONS } from './acts.ts'
import { oneOf, orNull, strict } from './schema.ts'
import { Die, StoredSetup, Tube } from './setup.ts'

const degrees = (description: string) => Type.Number({ description })
const count = (description: string) => Type.Integer({ minimum: 0, description })
const column = (description: string) => Type.Array(Type.Number(), { description })
const simulated = Type.Boolean({ description: 'True: of the built-in bench; no tube was bent.' })

/** Springback over the loaded angles of the view, with the 95 % interval of the next bend. Degrees. */
const SpringbackBand = strict({
  springbackDeg: column('Expected.'),
  lowDeg: column('Lower end.'),
  highDeg: column('Upper end.'),
})

/**
 * `counts`: it teaches. `apart`: it does not fit and teaches nothing. `taken-out`: a person said so. `void`: a person declared
 * the bend void. `before-change`:
 * from before the springback of this set-up moved; it teaches as another set-up would.
 */
export const STANDINGS = ['counts', 'apart', 'taken-out', 'void', 'before-change'] as const
export type Standing = (typeof STANDINGS)[number]

/** A bend of the set-up, of its record of that number. */
export const SpringbackPoint = strict({
  id: Type.Integer({ minimum: 1, description: 'Place in the history.' }),
  loadedDeg: degrees('Peak under load of its last go.'),
  springbackDeg: degrees('What came back.'),
  offDeg: degrees('More than the curve says now; for one set apart, than the other bends say.'),
  standing: oneOf(STANDINGS),
  why: orNull(Type.String({ description: 'Why it is set apart, or void.' })),
  decision: orNull(
    strict({
      decision: oneOf(DECISIONS),
      who: Type.String(),
      reason: Type.String(),
      at: Type.String({ description: 'ISO 8601 with offset.' }),
    }),
  ),
})
export type SpringbackPoint = Static<typeof SpringbackPoint>

/** What is expected of the next bend at the wanted angle. Degrees. */
const ExpectedBend = strict({
  loadedDeg: degrees(
    'Where the tube is to be taken, so that the wanted angle is as likely left as not.',
  ),
  springbackDeg: degrees('Expected springback from there.'),
  lowDeg: degrees('Lower end of its 95 % interval.'),
  highDeg: degrees('Upper end of its 95 % interval.'),
})

const KnowledgeStep = strict({
  level: oneOf(['mechanics', 'material', 'die', 'lot', 'set-up']),
  bends: count('Bends that it adds. A bend teaches its material and its die, so levels overlap.'),
  springbackDeg: degrees('Expected at the loaded angle of the view.'),
  lowDeg: degrees('Lower end of the 95 % interval.'),
  highDeg: degrees('Upper end of the 95 % interval.'),
})

/** s(θ) = slope·θ + intercept·(1 − exp(−θ/6°)), never less than 0 nor more than θ. */
export const SpringbackLaw = strict({
  interceptDeg: degrees('What straight legs and machine give.'),
  interceptSdDeg: degrees('Its standard deviation.'),
  slope: Type.Number({ description: 'Share of the bent arc, without unit.' }),
  slopeSd: Type.Number({ description: 'Its standard deviation.' }),
  predictedSlope: Type.Number({ description: "As the section's mechanics has it." }),
  noiseSdDeg: degrees('Scatter from bend to bend, standard deviation.'),
})
export type SpringbackLaw = Static<typeof SpringbackLaw>

/** What is known of one set-up's springback. */
export const SpringbackView = strict({
  setup: StoredSetup,
  isInUse: Type.Boolean({ description: 'This set-up is on the bender now.' }),
  simulated,
  wantedDeg: degrees('Of the job in hand; 90 where there is none.'),
  expected: orNull(ExpectedBend),
  sentences: Type.Array(Type.String(), { description: 'What is known, in plain words.' }),
  law: SpringbackLaw,
  steps: Type.Array(KnowledgeStep, { description: 'How it came together; each adds to the last.' }),
  nextBend: orNull(
    strict({
      nowDeg: degrees('Half of the 95 % interval at the wanted angle.'),
      afterDeg: degrees('The same after one more bend there, as far as can be foreseen.'),
      leftDeg: degrees('What no number of bends takes away: the scatter from tube to tube.'),
    }),
  ),
  loadedDeg: column('Loaded angles of both curves.'),
  posterior: SpringbackBand,
  prior: SpringbackBand,
  points: Type.Array(SpringbackPoint, { description: 'Its bends, oldest first.' }),
  olderPoints: count('Older bends that are not among the points.'),
})
export type SpringbackView = Static<typeof SpringbackView>

export const SpringbackQuery = strict({
  setup: Type.Optional(
    Type.Integer({
      minimum: 1,
      maximum: Number.MAX_SAFE_INTEGER,
      description: 'Left out: in use.',
    }),
  ),
})
export type SpringbackQuery = Static<typeof SpringbackQuery>

const rms = (description: string) => Type.Number({ minimum: 0, description })

/** One material lot on one die. Degrees. */
export const LotRow = strict({
  setupId: Type.Integer({ minimum: 1, description: 'Its newest set-up.' }),
  station: Type.String(),
  die: Die,
  tube: Tube,
  bends: count('Bends on record that may teach.'),
  apart: count('Of them set apart now.'),
  firstBend: Type.Integer({ minimum: 1 }),
  lastBend: Type.Integer({ minimum: 1 }),
  expected: orNull(ExpectedBend),
  difference: orNull(
    strict({
      differenceDeg: degrees(
        'More than the mean of the other lots among the rows of the same tube on the same die.',
      ),
      expandedDeg: degrees('Half of its 95 % interval.'),
      isTold: Type.Boolean({ description: 'Larger than what it is known to.' }),
    }),
  ),
  shares: orNull(
    strict({
      bends: count('Bends whose shares are known.'),
      stopDeg: rms('From the stop: operator, valve, filter. Root mean square.'),
      tubeDeg: rms('From the tube.'),
      aimDeg: rms('From the aim.'),
      readoutDeg: orNull(rms('Standard uncertainty of the readout, which is in all three.')),
    }),
  ),
})
export type LotRow = Static<typeof LotRow>

export const LotTable = strict({
  simulated,
  wantedDeg: degrees('At which springback is told.'),
  rows: Type.Array(LotRow, { description: 'The lots bent last, newest first.' }),
  moreLots: count('Lots that are not among the rows.'),
  sharesOver: count('The newest bends of a lot that its shares are taken over, at most.'),
})
export type LotTable = Static<typeof LotTable>
