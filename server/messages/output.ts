import { type Static, Type } from 'typebox'
import { oneOf, orNull, strict } from './schema.ts'

export const OutputName = oneOf(['buzzer', 'lamp', 'relay'])
export type OutputName = Static<typeof OutputName>

/** Arms an output of the board for as long as the page that asks stays open and says so. */
export const ArmOutput = strict({
  output: OutputName,
  understood: Type.Literal(true, {
    description: 'The caution was read: an output is an aid, never a safety function.',
  }),
})
export type ArmOutput = Static<typeof ArmOutput>

/** The output that follows the stop cue. Off and not armed at every start. */
export const OutputState = strict({
  armed: orNull(OutputName),
  isOn: Type.Boolean({ description: 'What was last asked of the board.' }),
  trouble: orNull(Type.String({ description: 'One sentence: why it was disarmed by itself.' })),
})
export type OutputState = Static<typeof OutputState>
