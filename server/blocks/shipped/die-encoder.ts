import { nativeCounts } from './native-counts.ts'
import { onTheDie } from './on-the-die.ts'
import { joined } from './part.ts'

/** The shipped chain for an encoder on the die's spindle, from the wire to the record. */
export const dieEncoderChain = joined(
  {
    name: 'die-encoder',
    revision: 1,
    note: 'An encoder on the spindle of the die: what it shows is where the tube is.',
  },
  [nativeCounts, onTheDie(nativeCounts)],
)
