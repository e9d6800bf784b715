import type { TObject } from 'typebox'
import type { Block, Ports } from './block.ts'
import type { ChainFile } from './chain-file.ts'

/** One output of a block, by the block's place in the plan. */
interface OutputPlace {
  readonly block: number
  readonly port: string
}

/** A block in a chain: what its parameters say of its units stands in its ports. */
export type PlacedBlock = Block<TObject, Ports, Ports>

export interface PlannedBlock {
  readonly id: string
  /** With the units of its ports put in. */
  readonly block: PlacedBlock
  readonly parameters: Record<string, unknown>
  /** What each connected input is connected to. */
  readonly inputs: Map<string, OutputPlace>
}

/** A chain that was found right: `blocks` as in the file, `order` as they are to be stepped. */
export interface Plan {
  readonly file: ChainFile
  readonly blocks: readonly PlannedBlock[]
  readonly order: readonly number[]
}
