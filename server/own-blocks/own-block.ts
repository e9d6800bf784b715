import type { Block } from '../chain/block.ts'
import type { Trouble } from './trouble.ts'

/** A block that a user's own file made. */
export interface OwnBlock {
  readonly block: Block
  /** Name of its file in the folder. */
  readonly file: string
  /** Of that file, in hex. */
  readonly sha256: string
  readonly trouble: Readonly<Trouble>
}
