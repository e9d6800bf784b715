/** Of what else bends of one selection may differ than by chance: each process has its own bender, die and lot. */
export const PROCESS = ['station', 'die', 'lot'] as const
export type ProcessField = (typeof PROCESS)[number]

/** Neighbouring bends, a column a field. Degrees; NaN where a bend has none. */
export interface ChartedColumns
  extends Readonly<Record<'offDeg' | 'toleranceDeg' | 'springbackDeg', Float64Array>>,
    Readonly<Record<'wantedDeg' | 'stopDeg' | 'tubeDeg' | 'aimDeg' | 'expandedDeg', Float32Array>> {
  /** Number of the bend in the first row. */
  readonly first: number
  readonly startedMs: Float64Array
  /** Places in the texts of the field. */
  readonly named: Readonly<Record<ProcessField, Uint32Array>>
}

/** Which rows of a block are of the selection, rising: those that count, and those that are void. */
export interface ChartedBlock {
  readonly columns: ChartedColumns
  readonly rows: Uint16Array
  readonly voided: Uint16Array
}

/** A selection of bends as charts go through it, in the order in which they were made. No row is copied. */
export interface ChartedBends {
  readonly blocks: readonly ChartedBlock[]
  readonly texts: Readonly<Record<ProcessField, readonly string[]>>
}

/** Rows of blocks: what each pass of the charts goes over. */
export type BlockRows = Pick<ChartedBlock, 'columns' | 'rows'>

/** Blocks of a thousand bends that are gone through in one step: about a millisecond. */
const STEP_BLOCKS = 128

/** Goes through blocks, and yields now and then. */
export function* eachBlock<T>(blocks: readonly T[], see: (block: T) => void): Generator<void> {
  for (const [nth, block] of blocks.entries()) {
    see(block)
    if (nth % STEP_BLOCKS === STEP_BLOCKS - 1) yield
  }
}

/** How many rows there are. */
export const countOf = (blocks: readonly BlockRows[]): number =>
  blocks.reduce((count, { rows }) => count + rows.length, 0)

type Figure = {
  [K in keyof ChartedColumns]: ChartedColumns[K] extends Float64Array | Float32Array ? K : never
}[keyof ChartedColumns]

/** Puts a field's values one after the other, those that a bend has none of left out. */
export function* valuesSteps(
  blocks: readonly BlockRows[],
  name: Figure,
  into: Float64Array,
): Generator<void, Float64Array> {
  let found = 0
  yield* eachBlock(blocks, ({ columns, rows }) => {
    const column = columns[name]
    for (let i = 0; i < rows.length; i += 1) {
      const value = column[rows[i] ?? 0] ?? Number.NaN
      if (!Number.isNaN(value)) into[found++] = value
    }
  })
  return into.subarray(0, found)
}

/** The least and the largest of some angles. */
export interface Extent {
  readonly leastDeg: number
  readonly mostDeg: number
}

/** Of a field; null where no bend has one. */
export function* extentSteps(
  blocks: readonly BlockRows[],
  name: Figure,
): Generator<void, Extent | null> {
  let [leastSeen, mostSeen] = [Infinity, -Infinity]
  yield* eachBlock(blocks, ({ columns, rows }) => {
    const column = columns[name]
    let [least, most] = [leastSeen, mostSeen]
    for (let i = 0; i < rows.length; i += 1) {
      const value = column[rows[i] ?? 0] ?? Number.NaN
      if (value < least) least = value
      if (value > most) most = value
    }
    leastSeen = least
    mostSeen = most
  })
  return leastSeen <= mostSeen ? { leastDeg: leastSeen, mostDeg: mostSeen } : null
}

/** How many rows of a block have no released angle. */
function unmeasuredOf({ columns: { offDeg }, rows }: BlockRows): number {
  let count = 0
  for (let i = 0; i < rows.length; i += 1) count += Number(Number.isNaN(offDeg[rows[i] ?? 0]))
  return count
}

/** The rows that have a released angle. Where all have one, they are not copied. */
export function* measuredSteps(blocks: readonly BlockRows[]): Generator<void, BlockRows[]> {
  const measured: BlockRows[] = []
  yield* eachBlock(blocks, (block) => {
    const { columns, rows } = block
    const unmeasured = unmeasuredOf(block)
    if (unmeasured === rows.length) return
    const isMeasured = (row: number) => !Number.isNaN(columns.offDeg[row])
    measured.push({ columns, rows: unmeasured === 0 ? rows : rows.filter(isMeasured) })
  })
  return measured
}

/** Makes the function that gives a bend by its place among the rows, from 0. */
export function makeAt(blocks: readonly BlockRows[]) {
  const ends: number[] = []
  for (const { rows } of blocks) ends.push((ends.at(-1) ?? 0) + rows.length)
  return function at(place: number) {
    let [low, high] = [0, ends.length - 1]
    while (low < high) {
      const middle = (low + high) >> 1
      if ((ends[middle] ?? 0) > place) high = middle
      else low = middle + 1
    }
    const block = blocks[low]
    if (!block) throw new RangeError(`no bend has the place ${place}`)
    const row = block.rows[place - (ends[low - 1] ?? 0)] ?? 0
    return { columns: block.columns, row, id: block.columns.first + row }
  }
}
