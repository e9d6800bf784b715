import type { Block } from './block.ts'
import type { ChainFile } from './chain-file.ts'
import { ChainRefused } from './chain-refused.ts'
import { checkChain, SOURCE_KIND } from './check.ts'
import { BATCH_ROWS_MAX, type ItemColumn } from './column.ts'
import { type BoundColumns, makeColumns } from './columns.ts'
import { type Outlets, openOutlets } from './outlets.ts'
import type { PlannedBlock } from './plan.ts'
import type { RawLine } from './raw-line.ts'
import { makePush, type Step, type Works } from './run.ts'
import { adoptSnapshot, readSnapshot, writeSnapshot } from './snapshot.ts'
import { makeWatch, type OutputSeen, type Watch } from './watch.ts'

/** A chain that was checked and is ready to run. */
export interface Chain {
  readonly file: ChainFile
  /** Name and revision, as every record names the chain. */
  readonly revision: string
  /**
   * Runs lines through, in batches; outlets have been told when it returns. A listener may push too: its
   * lines come after those that wait. Where listeners throw, all lines are run first, then the first error.
   * @throws RangeError when more than 65,536 lines would wait.
   */
  push(lines: readonly RawLine[]): void
  /** @returns how to leave again. @throws RangeError for an outlet that no block of this chain has. */
  on(outlet: string, listener: (message: unknown) => void): () => void
  /** Begins to look at what goes over each output, anew if it did already. */
  watch(): void
  unwatch(): void
  /** What went over each output since the watch began; empty while nobody watches. */
  seen(): OutputSeen[]
  /** The memory of all blocks as text; `restore` on the same chain goes on bit for bit. */
  snapshot(): string
  /** @throws ChainRefused `bad snapshot`; nothing is changed then. */
  restore(snapshot: string): void
  /**
   * Takes what fits of another chain's snapshot: blocks of the same name and memory go on, the others begin anew.
   * @returns their names. @throws ChainRefused `bad snapshot`.
   */
  adopt(snapshot: string): string[]
}

/**
 * Makes a chain from its file and the catalogue of blocks: whole, or not at all.
 * @throws ChainRefused with the block and port at fault.
 */
export function compileChain(input: unknown, catalogue: readonly Block[]): Chain {
  const { file, blocks, order } = checkChain(input, catalogue)
  // What a loop feeds back is there when its row is done, so such a chain goes a row at a time.
  const rowsMax = blocks.some(({ block }) => block.delays) ? 1 : BATCH_ROWS_MAX
  const columns = makeColumns(blocks, order, rowsMax)
  const outlets = openOutlets()
  const steps = order.map((place) => makeStep(at(blocks, place), at(columns, place), outlets))
  const memories = new Map(
    order.map((place, turn) => [at(blocks, place).id, at(steps, turn).memory]),
  )
  const source = blocks.findIndex(({ block }) => block.kind === SOURCE_KIND)
  const revision = `${file.name} r${file.revision}`
  const works: Works = {
    steps,
    source: linesOf(at(columns, source)),
    rowsMax,
    outlets,
    watch: null,
  }
  let watch: Watch | null = null
  return {
    file,
    revision,
    push: makePush(works),
    on: outlets.on,
    watch() {
      watch = makeWatch(blocks, columns)
      works.watch = watch
    },
    unwatch() {
      watch = null
      works.watch = null
    },
    seen: () => watch?.seen() ?? [],
    snapshot: () => writeSnapshot(revision, memories),
    restore: (snapshot) => readSnapshot(snapshot, revision, memories),
    adopt: (snapshot) => adoptSnapshot(snapshot, memories),
  }
}

function makeStep(planned: PlannedBlock, columns: BoundColumns, outlets: Outlets): Step {
  const { id, block, parameters } = planned
  if (block.delays && !(block.latch && block.setsTime))
    throw new Error(`"${block.kind}" delays, so it must latch and set its time`)
  const emit = outlets.emitter(block.outlet)
  return {
    block,
    frame: { ...columns, id, emit },
    memory: start(id, block, parameters),
    parameters,
  }
}

/** What no schema can say, a block says when it is started. */
function start(id: string, block: Block, parameters: Record<string, unknown>): object {
  try {
    return block.start(parameters)
  } catch (error) {
    if (!(error instanceof RangeError)) throw error
    const sentence = `Parameters of block "${id}": ${error.message}`
    throw new ChainRefused('bad parameters', sentence, { block: id })
  }
}

function linesOf({ out }: BoundColumns): ItemColumn<RawLine> {
  const column = Object.values(out)[0]
  if (column === undefined || !('items' in column))
    throw new Error(`"${SOURCE_KIND}" must have one output, the lines`)
  return column as ItemColumn<RawLine>
}

function at<T>(list: readonly T[], place: number): T {
  const found = list[place]
  if (found === undefined) throw new RangeError(`place ${place} is not there`)
  return found
}
