import { type Static, Type } from 'typebox'
import { defineBlock } from '../chain/block.ts'
import { strict } from '../chain/strict.ts'
import { nothingConnected, tapParameters, tapParts } from './tap-input.ts'

const parameters = strict({
  file: Type.String({
    pattern: '^[a-z0-9][a-z0-9-]{0,39}$',
    maxLength: 40,
    default: 'tap',
    description: 'Name of the files in the folder taps/ of the data folder; a number is added.',
  }),
  ...tapParameters,
  sizeMaxMb: Type.Number({
    minimum: 0.01,
    maximum: 1000,
    default: 10,
    description: 'A file that is so large is followed by the next one, megabytes.',
  }),
  filesMax: Type.Integer({
    minimum: 1,
    maximum: 1000,
    default: 10,
    description: 'With so many files it stops and says so; nothing is ever deleted.',
  }),
})
export type CsvTapParameters = Static<typeof parameters>

/** Asks for rows in a CSV file; the station writes them. */
export const csvTap = defineBlock({
  kind: 'csv-tap',
  summary: 'Writes a value and events into a CSV file in the data folder.',
  parameters,
  ...tapParts,
  objection: (_, connected) => nothingConnected(connected, 'value'),
})
