import { type Static, Type } from 'typebox'
import { oneOf, orNull, strict } from './schema.ts'

export const OutputName = oneOf(['buzzer', 'lamp', 'relay'])
export type OutputName = Static<typeof OutputName>

const Follows = oneOf(['stop-cue', 'chain'])

/** Arms an output of the board for as long as the page that asks stays open and says so. */
export const ArmOutput = strict({
  output: OutputName,
  follows: Type.Optional(
    oneOf(['stop-cue', 'chain'], {
      description: 'The stop cue, which is the rule, or the `output` blocks of the chain.',
    }),
  ),
  understood: Type.Literal(true, {
    description: 'The caution was read: an output is an aid, never a safety function.',
  }),
})
export type ArmOutput = Static<typeof ArmOutput>

/** The armed output. Off and not armed at every start. */
export const OutputState = strict({
  armed: orNull(OutputName),
  follows: orNull(Follows),
  isOn: Type.Boolean({ description: 'What was last asked of the board.' }),
  trouble: orNull(Type.String({ description: 'One sentence: why it was disarmed by itself.' })),
})
export type OutputState = Static<typeof OutputState>
