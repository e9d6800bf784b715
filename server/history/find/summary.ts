import { VERDICTS, type Verdict } from '../../messages/bends.ts'
import type { BendSummary } from '../../messages/find.ts'
import { isoWithOffset } from '../iso-time.ts'
import type { Block } from './block.ts'
import type { Condition } from './conditions.ts'
import { MARK } from './facts.ts'
import type { FindIndex } from './index.ts'
import { walkBlocks } from './walk.ts'

/** How many fit, and nothing else of them. */
export function countOf(index: FindIndex, conditions: readonly Condition[]): number {
  let total = 0
  walkBlocks(index, conditions, {}, (_block, _rows, count) => {
    total += count
    return true
  })
  return total
}

const without = (index: FindIndex, conditions: readonly Condition[]) =>
  conditions.map((dropped) => ({
    name: dropped.name,
    total: countOf(
      index,
      conditions.filter((condition) => condition !== dropped),
    ),
  }))

/**
 * Mean and standard deviation in one walk, without losing digits where the mean is large beside the scatter: B. P.
 * Welford, Technometrics 4 (1962) 419.
 */
function makeMoments() {
  let [count, mean, squares] = [0, 0, 0]
  return {
    add(value: number): void {
      count += 1
      const step = value - mean
      mean += step / count
      squares += step * (value - mean)
    },
    figures: () => ({
      measured: count,
      meanOffDeg: count === 0 ? null : mean,
      sdOffDeg: count < 2 ? null : Math.sqrt(squares / (count - 1)),
    }),
  }
}

/** What is counted in one walk over all that fit. */
function makeTally() {
  const verdicts = new Float64Array(256)
  const off = makeMoments()
  const tally = { total: 0, void: 0, earliestMs: Infinity, latestMs: -Infinity }
  function add({ startedMs, offDeg, marks, verdict }: Block, rows: Uint16Array, count: number) {
    tally.total += count
    for (let i = 0; i < count; i += 1) {
      const row = rows[i] ?? 0
      const ms = startedMs[row] ?? 0
      if (ms < tally.earliestMs) tally.earliestMs = ms
      if (ms > tally.latestMs) tally.latestMs = ms
      const found = verdict[row] ?? 0
      verdicts[found] = (verdicts[found] ?? 0) + 1
      const deg = offDeg[row] ?? Number.NaN
      if (((marks[row] ?? 0) & MARK.void) !== 0) tally.void += 1
      else if (!Number.isNaN(deg)) off.add(deg)
    }
    return true
  }
  const withVerdict = (name: Verdict) => verdicts[VERDICTS.indexOf(name)] ?? 0
  return { add, tally, withVerdict, figures: off.figures }
}

const timeOf = (ms: number) => (Number.isFinite(ms) ? isoWithOffset(ms) : null)

/** What all bends that fit have in common, in one walk. */
export function summaryOf(index: FindIndex, conditions: readonly Condition[]): BendSummary {
  const { add, tally, withVerdict, figures } = makeTally()
  walkBlocks(index, conditions, {}, add)
  const { total, earliestMs, latestMs } = tally
  return {
    ...{ total, void: tally.void, ...figures() },
    verdicts: {
      in: withVerdict('in'),
      under: withVerdict('under'),
      over: withVerdict('over'),
      incomplete: withVerdict('incomplete'),
    },
    earliest: timeOf(earliestMs),
    latest: timeOf(latestMs),
    without: total === 0 && index.blocks.length > 0 ? without(index, conditions) : [],
  }
}
