import type { Block } from './block.ts'
import type { ChainFile } from './chain-file.ts'

/** One output of a block, by the block's place in the plan. */
interface OutputPlace {
  readonly block: number
  readonly port: string
}

export interface PlannedBlock {
  readonly id: string
  readonly block: Block
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
