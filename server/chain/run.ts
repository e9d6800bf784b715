import type { Block } from './block.ts'
import type { ItemColumn } from './column.ts'
import type { Outlets } from './outlets.ts'
import type { RawLine } from './raw-line.ts'
import type { Watch } from './watch.ts'

/** Lines that may wait while a batch is in hand: a listener that pushes on every message is a mistake. */
const WAITING_LINES_MAX = 65_536

/** One block as it runs. */
export interface Step {
  readonly block: Block
  readonly frame: Parameters<Block['step']>[0]
  readonly memory: object
  readonly parameters: Record<string, unknown>
}

/** All that a run needs, made once. */
export interface Works {
  /** In the order in which they are stepped. */
  readonly steps: readonly Step[]
  /** The source's output: the engine fills it. */
  readonly source: ItemColumn<RawLine>
  readonly rowsMax: number
  readonly outlets: Outlets
  /** Told of each batch when all blocks have had their turn; null while nobody looks. */
  watch: Pick<Watch, 'see'> | null
}

/** @returns the chain's `push`. */
export function makePush(works: Works): (lines: readonly RawLine[]) => void {
  const runBatch = makeRunBatch(works)
  const waiting: (readonly RawLine[])[] = []
  let waitingLines = 0
  let running = false

  function runAll(): void {
    const errors: unknown[] = []
    for (let lines = waiting.shift(); lines !== undefined; lines = waiting.shift()) {
      for (let from = 0; from < lines.length; from += works.rowsMax) {
        runBatch(lines, from, Math.min(works.rowsMax, lines.length - from))
        works.outlets.deliver(errors)
      }
      waitingLines -= lines.length
    }
    if (errors.length > 0) throw errors[0]
  }

  return function push(lines) {
    if (waitingLines + lines.length > WAITING_LINES_MAX)
      throw new RangeError(
        `More than ${WAITING_LINES_MAX} lines wait to be run; push fewer at once.`,
      )
    waiting.push(lines)
    waitingLines += lines.length
    if (running) return
    running = true
    try {
      runAll()
    } finally {
      running = false
      // Empty already, unless a block threw, which is a mistake in the program: nothing stays half done then.
      waiting.length = 0
      waitingLines = 0
    }
  }
}

function makeRunBatch(works: Works) {
  const { steps, source } = works
  const latches = steps.filter(({ block }) => block.latch)
  const itemColumns = steps.flatMap(({ frame }) =>
    Object.values(frame.out).filter((column) => 'items' in column && column !== source),
  ) as ItemColumn<unknown>[]

  return function runBatch(lines: readonly RawLine[], from: number, rows: number): void {
    for (const column of itemColumns) empty(column)
    fill(source, lines, from, rows)
    for (const { block, frame, memory, parameters } of steps)
      block.step(frame, memory, parameters, rows)
    for (const { block, frame, memory, parameters } of latches)
      block.latch?.(frame, memory, parameters, rows)
    works.watch?.see(rows)
  }
}

function empty(column: ItemColumn<unknown>): void {
  if (column.count === 0) return
  column.items.fill(null)
  column.count = 0
}

function fill(
  source: ItemColumn<RawLine>,
  lines: readonly RawLine[],
  from: number,
  rows: number,
): void {
  for (let row = 0; row < rows; row++) {
    const line = lines[from + row]
    if (line === undefined) throw new RangeError(`line ${from + row} is not there`)
    source.timeS[row] = line.arrivalS
    source.items[row] = line
  }
  source.count = rows
}
