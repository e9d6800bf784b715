import { type Static, Type } from 'typebox'
import { Cue, LinkState, Phase } from './live.ts'
import { strict } from './schema.ts'

/** How many benders one daemon serves. */
export const STATIONS_MAX = 16

/** One bender of this daemon, as far as it must be seen from the others. */
export const StationRow = strict({
  key: Type.String({
    description: 'Its place in addresses: /api/stations/{key}/…, /live?station=.',
  }),
  name: Type.String({ description: 'What it is called on its records.' }),
  isBench: Type.Boolean({ description: 'A simulated bender: nothing moves.' }),
  link: LinkState.properties.state,
  phase: Phase,
  cue: Cue,
})
export type StationRow = Static<typeof StationRow>
