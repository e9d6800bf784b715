import type { TapEvent, TapValue } from '../../blocks/tap-message.ts'
import type { TapCount } from '../../messages/chain.ts'

/** What a tap lets out. */
export type TapItem = TapValue | TapEvent

/** How a tap is doing; the block's name is the desk's to add. */
export type TapStanding = Omit<TapCount, 'block'>

/** The doing end of a block that lets things out of the chain. It never throws: what goes wrong is its trouble. */
export interface Tap {
  hear(item: TapItem): void
  standing(): TapStanding
  /** Sends what waits if that goes quickly, and lets go of file or network. */
  close(): Promise<void>
}

/** Something was not let out. A `final` refusal will be none the better for being tried again. */
export class NotLetOut extends Error {
  readonly final: boolean
  constructor(sentence: string, final = false) {
    super(sentence)
    this.name = 'NotLetOut'
    this.final = final
  }
}
