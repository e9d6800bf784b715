import { type Static, Type } from 'typebox'
import { angleDeg, oneOf, strict } from './schema.ts'

/**
 * What a person at the bender can say, by key, pedal or finger.
 * `pedal` does what the moment calls for: datum, accept, again or next. `touch`: the arm touches the tube that
 * was let off. `check`: an angle finder shows `checkedDeg` on it.
 */
const OPERATOR_ACTS = ['datum', 'accept', 'again', 'abandon', 'pedal', 'touch', 'check'] as const
export const OperatorAct = strict({
  act: oneOf(OPERATOR_ACTS),
  checkedDeg: Type.Optional(angleDeg('With `check` only: the angle on the tube, degrees.')),
})
export type OperatorAct = Static<typeof OperatorAct>

/** What can be asked of the built-in bench. */
export const BenchAct = strict({
  mode: Type.Optional(oneOf(['self', 'hand'])),
  ram: Type.Optional(oneOf(['hold', 'advance', 'retract'])),
})
export type BenchAct = Static<typeof BenchAct>

export const Done = strict({ done: Type.Literal(true) })

/** The one shape of every refusal. */
export const Refusal = strict({
  code: Type.String({ description: 'Stable name of the error; the table is in DEVELOPERS.md.' }),
  sentence: Type.String({ description: 'What is wrong, where, and what to do.' }),
  field: Type.Optional(Type.String()),
})
export type Refusal = Static<typeof Refusal>
