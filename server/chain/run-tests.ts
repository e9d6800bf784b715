import type { Block } from './block.ts'
import type { ChainFile } from './chain-file.ts'
import type { ChainTest, ChainTestExpect } from './chain-test.ts'
import { checkChain, SOURCE_KIND } from './check.ts'
import type { NONE, Quality } from './column.ts'
import { rigChain, type Seen } from './rig.ts'
import { refuseTest, rowsOf, SAME_TIME_S, timedCells } from './test-rows.ts'

const DEFAULT_TOLERANCE = 1e-9

const QUALITY_NAMES = ['good', 'uncertain', 'bad'] as const

/** What did not come out as a test expects. */
interface FailedTest {
  readonly test: string
  readonly block: string
  readonly port: string
  readonly atS: number
  readonly expected: unknown
  /** null: nothing came. */
  readonly got: unknown
}

export interface TestedChain {
  /** Tests of which all came out as expected. */
  readonly passed: number
  readonly failed: readonly FailedTest[]
}

type Fields = Readonly<Record<string, unknown>>

/** What an item must hold at least, numbers within the tolerance. */
function holds(expected: unknown, got: unknown, tolerance: number): boolean {
  if (typeof expected === 'number')
    return typeof got === 'number' && Math.abs(got - expected) <= tolerance
  if (typeof expected !== 'object' || expected === null) return expected === got
  if (typeof got !== 'object' || got === null) return false
  return Object.entries(expected).every(
    ([key, part]) => Object.hasOwn(got, key) && holds(part, (got as Fields)[key], tolerance),
  )
}

function failureOf(test: ChainTest, wanted: ChainTestExpect, seen: Seen | undefined) {
  const { at, atS, value, tolerance = DEFAULT_TOLERANCE, quality, item } = wanted
  const failed = (expected: unknown, got: unknown): FailedTest => {
    const dot = at.indexOf('.')
    const where = { block: at.slice(0, dot), port: at.slice(dot + 1) }
    return { test: test.name, ...where, atS, expected, got }
  }
  if (item !== undefined) {
    const got = seen?.item ?? null
    return holds(item, got, tolerance) ? null : failed(item, got)
  }
  if (value === null) return seen === undefined ? null : failed(null, seen.value)
  if (seen === undefined) return failed(value ?? quality, null)
  if (value !== undefined && !(Math.abs(seen.value - value) <= tolerance))
    return failed(value, seen.value)
  const name = QUALITY_NAMES[seen.quality as Exclude<Quality, typeof NONE>]
  return quality === undefined || name === quality ? null : failed(quality, name)
}

function runOne(file: ChainFile, catalogue: readonly Block[], test: ChainTest): FailedTest[] {
  const sourceEnd = `${file.blocks.find(({ kind }) => kind === SOURCE_KIND)?.id}.line`
  const source = test.feed.findIndex(({ at }) => at === sourceEnd)
  const feeds = test.feed.map(({ at }) => at)
  const twice = feeds.find((at, place) => feeds.indexOf(at) !== place)
  if (twice !== undefined) refuseTest(test, `${twice} is fed twice`)
  const inputs = feeds.filter((at) => at !== sourceEnd)
  const probes = [...new Set(test.expect.map(({ at }) => at))]
  const rig = rigChain(file, catalogue, { feeds: inputs, probes })
  const typeAt = new Map(inputs.map((at, place) => [at, rig.feedTypes[place]]))
  const timed = timedCells(
    test,
    feeds.map((at) => at === sourceEnd || typeAt.get(at)?.carries === 'item'),
  )
  const placeOf = feeds.map((at) => inputs.indexOf(at))
  const rows = rowsOf(test, timed, source).map((row) => ({
    ...row,
    cells: new Map([...row.cells].map(([feed, cell]) => [placeOf[feed] ?? -1, cell])),
  }))
  const byProbe = probes.map((): Seen[] => [])
  for (const one of rig.run(rows)) byProbe[one.probe]?.push(one)
  return test.expect.flatMap((wanted, which) => {
    const probe = probes.indexOf(wanted.at)
    demandKind(test, wanted, which, rig.probeTypes[probe]?.carries === 'item')
    const until = wanted.atS + SAME_TIME_S
    const seen = byProbe[probe]?.findLast(({ timeS }) => timeS <= until)
    return failureOf(test, wanted, seen) ?? []
  })
}

function demandKind(
  test: ChainTest,
  { value, quality, item }: ChainTestExpect,
  which: number,
  isItem: boolean,
): void {
  const number = value !== undefined || quality !== undefined
  const fits = isItem ? item !== undefined && !number : item === undefined && number
  if (!fits)
    refuseTest(
      test,
      `expect ${which + 1} needs ${isItem ? '"item"' : '"value" or "quality"'} alone`,
    )
}

/**
 * Runs the tests that a chain file carries, each on as much of the chain as it needs, begun anew.
 * @throws ChainRefused for a chain that cannot run, or a test that cannot be.
 */
export function runChainTests(input: unknown, catalogue: readonly Block[]): TestedChain {
  const { file } = checkChain(input, catalogue)
  const { tests = [] } = file
  const failures = tests.map((test) => runOne(file, catalogue, test))
  return { passed: failures.filter((one) => one.length === 0).length, failed: failures.flat() }
}
