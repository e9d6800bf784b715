import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { BAD, NONE } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'

const parameters = strict({
  countsPerTurn: Type.Integer({
    minimum: 0,
    maximum: 2 ** 31 - 1,
    default: 0,
    description: 'Counts for one turn of the encoder; 0: as the board says.',
  }),
  direction: Type.Union([Type.Literal(1), Type.Literal(-1)], {
    default: 1,
    description: '1 when counts grow as the tube is bent, −1 when they fall.',
  }),
  degPerTurn: Type.Number({
    exclusiveMinimum: 0,
    maximum: 36_000,
    default: 360,
    description: 'Degrees of the die for one turn of the encoder: less behind a gear or a belt.',
  }),
})

/** Counts to degrees of the die. As long as nobody has said how many counts make a turn, values are bad. */
export const scale = defineBlock({
  kind: 'scale',
  summary: 'Turns counts into degrees.',
  parameters,
  inputs: {
    counts: number('count', 'Counts without wraps.'),
    countsPerTurn: number('count', 'As the board says.'),
  },
  outputs: { angle: number('deg', 'Where the readout stands.') },
  optional: ['countsPerTurn'],
  start: () => ({}),
  step(frame, _, { countsPerTurn, direction, degPerTurn }: Static<typeof parameters>, rows) {
    const { counts, countsPerTurn: asBoard } = frame.in
    const { angle } = frame.out
    for (let row = 0; row < rows; row++) {
      const quality = counts.quality[row] as number
      const turn = countsPerTurn > 0 ? countsPerTurn : (asBoard.value[row] as number)
      const known = countsPerTurn > 0 || asBoard.quality[row] !== NONE
      angle.value[row] = known ? ((counts.value[row] as number) * direction * degPerTurn) / turn : 0
      angle.quality[row] = known ? quality : Math.max(quality, BAD)
    }
  },
})
