import { type Static, Type } from 'typebox'
import { Go, Verdict } from './bends.ts'
import { OutputState } from './output.ts'
import { oneOf, orNull, strict } from './schema.ts'
import { Job, StoredSetup } from './setup.ts'

/** How the wire is: what the page says when no degrees arrive. */
export const LinkState = strict({
  state: oneOf(['opening', 'waiting', 'live', 'silent', 'garbled', 'lost', 'closed']),
  source: Type.String({ description: 'Path, address or file the lines come from.' }),
  reason: Type.String({ description: 'One sentence: what is the matter. Empty when live.' }),
  hint: Type.String({ description: 'One sentence: what to do about it. Empty when live.' }),
  device: orNull(
    strict({
      firmware: Type.String(),
      board: Type.String(),
      sensor: Type.String(),
      countsPerTurn: Type.Integer(),
      rateHz: Type.Number(),
    }),
  ),
  counters: strict({
    lines: Type.Integer(),
    samples: Type.Integer(),
    badChecksum: Type.Integer(),
    malformed: Type.Integer(),
    overlong: Type.Integer(),
    unknown: Type.Integer(),
    gaps: Type.Integer(),
    duplicates: Type.Integer(),
    reconnects: Type.Integer(),
  }),
})
export type LinkState = Static<typeof LinkState>

/** Where in the bend we are. `no-datum` also covers slack: nothing before the datum is bend. */
export const PHASES = ['no-datum', 'seated', 'bending', 'held', 'letting-off', 'settled'] as const
export const Phase = oneOf(PHASES)
export type Phase = Static<typeof Phase>

/** What the stop cue says while the tube is loaded. */
export const CUES = ['none', 'bend', 'ease', 'stop', 'over'] as const
export const Cue = oneOf(CUES)
export type Cue = Static<typeof Cue>

/** What the model says of the next go. */
export const Aim = strict({
  commandedDeg: Type.Number({ description: 'Stop here, degrees from the datum.' }),
  springbackDeg: Type.Number({ description: 'Springback allowed for.' }),
  lowDeg: Type.Number({ description: 'Where the tube will stand, 95 %: from.' }),
  highDeg: Type.Number({ description: 'Where the tube will stand, 95 %: to.' }),
  bendsLearned: Type.Integer(),
  why: Type.String({ description: 'One plain sentence.' }),
})
export type Aim = Static<typeof Aim>

/** What came of the last go, while the bend is open, or of the last bend until the next begins. */
export const Result = strict({
  bendId: orNull(Type.Integer({ description: 'Place in the history; null until it is recorded.' })),
  go: Go,
  verdict: Verdict,
  errorDeg: orNull(Type.Number({ description: 'Released minus wanted.' })),
  expandedUncertaintyDeg: orNull(Type.Number({ description: 'k = 2, of the released angle.' })),
  againDeg: orNull(
    Type.Number({ description: 'Where to go again; null when there is nothing to gain.' }),
  ),
  goingAgain: Type.Boolean({ description: 'The operator has said so; the next go is awaited.' }),
  learnedWhy: orNull(
    Type.String({ description: 'How the next aim changed because of this bend.' }),
  ),
})
export type Result = Static<typeof Result>

export const BenchState = strict({
  mode: oneOf(['self', 'hand']),
  ram: oneOf(['hold', 'advance', 'retract']),
  lot: Type.String(),
  ready: Type.Boolean({ description: 'A tube is in and its slack is taken up.' }),
})
export type BenchState = Static<typeof BenchState>

/** A notice stays on the page until its cause is gone. `fault` is red, `doubt` yellow, `task` blue. */
export const Notice = strict({
  id: Type.String(),
  kind: oneOf(['fault', 'doubt', 'task']),
  text: Type.String(),
  hint: Type.String(),
})
export type Notice = Static<typeof Notice>

/** Everything a page needs to draw itself, but for the stream of samples. */
export const StationState = strict({
  station: Type.String(),
  software: Type.String(),
  simulated: Type.Boolean(),
  link: LinkState,
  phase: Phase,
  cue: Cue,
  setup: orNull(StoredSetup),
  job: orNull(Job),
  aim: orNull(Aim),
  result: orNull(Result),
  datumS: orNull(
    Type.Number({ description: "When zero was last taken, on the station's clock; null: never." }),
  ),
  goNumber: Type.Integer({ description: 'Which go of this bend, from 1.' }),
  peakDeg: orNull(Type.Number({ description: 'Largest angle under load so far in this go.' })),
  uncertaintyDeg: orNull(
    Type.Number({ description: 'Expanded uncertainty of the live angle, k = 2.' }),
  ),
  leadS: Type.Number(),
  verification: orNull(Type.String({ description: 'Last check of the readout; null: never.' })),
  output: OutputState,
  unsaved: Type.Integer({
    description: 'Bends that wait in memory because the disk refused them.',
  }),
  bench: orNull(BenchState),
  notices: Type.Array(Notice),
})
export type StationState = Static<typeof StationState>

/**
 * A run of samples, oldest first, as columns of one length. `tS` is the station's own clock in seconds.
 * `quality`: 0 good, 1 uncertain, 2 bad. `omitted` counts samples this client was too slow for.
 */
export const Samples = strict({
  type: Type.Literal('samples'),
  tS: Type.Array(Type.Number()),
  angleDeg: Type.Array(Type.Number()),
  rateDegPerS: Type.Array(Type.Number()),
  quality: Type.Array(Type.Integer({ minimum: 0, maximum: 2 })),
  cue: Cue,
  omitted: Type.Integer({ minimum: 0 }),
})
export type Samples = Static<typeof Samples>

export const LiveMessage = Type.Union([
  strict({
    type: Type.Literal('hello'),
    state: StationState,
    nowS: Type.Number({ description: "The station's clock." }),
    trace: strict({ tS: Type.Array(Type.Number()), angleDeg: Type.Array(Type.Number()) }),
  }),
  strict({ type: Type.Literal('state'), state: StationState }),
  Samples,
])
export type LiveMessage = Static<typeof LiveMessage>
