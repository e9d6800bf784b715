import { execFile } from 'node:child_process'
import { promisify } from 'node:util'

/** Bytes by kind of block, over the rows. */
type Bytes = Readonly<Record<string, number>>

export interface Allocation {
  readonly rows: number
  /** Over so many rows, and over four times as many. */
  readonly few: Bytes
  readonly many: Bytes
  /** Of the whole chain with all that is between its blocks, over so many rows. */
  readonly whole: number
}

const CHILD = new URL('chain-allocation.child.ts', import.meta.url).pathname

/** A young generation so large that nothing is collected meanwhile; code is compiled on the spot, not some time. */
const FLAGS = [
  '--expose-gc',
  '--min-semi-space-size=256',
  '--max-semi-space-size=512',
  '--no-concurrent-recompilation',
]

/** Measures, in a process of its own, what each block of a chain allocates while the die is at rest. */
export async function chainAllocation(
  chain: string,
  rows: number,
  batch: number,
): Promise<Allocation> {
  const { stdout } = await promisify(execFile)(process.execPath, [
    ...FLAGS,
    '--import',
    'tsx',
    CHILD,
    ...[chain, String(rows), String(batch)],
  ])
  return JSON.parse(stdout) as Allocation
}

/** Bytes a row of one block, by what more rows cost: what is allocated once falls out. */
export const bytesARow = ({ rows, few, many }: Allocation, kind: string): number =>
  ((many[kind] ?? Number.NaN) - (few[kind] ?? Number.NaN)) / (3 * rows)
