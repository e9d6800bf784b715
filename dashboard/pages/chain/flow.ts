import type { ChainSeen } from '../../../server/messages/chain.ts'

type Output = ChainSeen['outputs'][number]

/** How an output is doing, for the eye. */
type Condition = 'good' | 'uncertain' | 'bad' | 'quiet' | 'none'

/** What is known of one output at the moment it was last asked about. */
export interface Flow {
  readonly output: Output
  readonly condition: Condition
  /** Since the last value, seconds; null where none ever came. */
  readonly ageS: number | null
  /** Between two values, as they came of late, seconds; null before two came. */
  readonly stepS: number | null
  /** The last values, oldest first: a small trace. */
  readonly trace: readonly number[]
}

/** A value that is older is no longer live. */
const QUIET_AFTER_S = 1
/** Of a small trace: some twenty seconds. */
const TRACE_POINTS_MAX = 80

const CONDITIONS = ['good', 'uncertain', 'bad'] as const

/** The worst of what came since it was last asked; of the last value where nothing did. */
function conditionOf(now: Output, before: Output | undefined, ageS: number | null): Condition {
  if (ageS === null) return 'none'
  if (ageS > QUIET_AFTER_S) return 'quiet'
  if (before !== undefined && now.bad > before.bad) return 'bad'
  if (before !== undefined && now.uncertain > before.uncertain) return 'uncertain'
  return CONDITIONS[now.quality] ?? 'none'
}

const countOf = ({ good, uncertain, bad }: Output) => good + uncertain + bad

/** As before where nothing came meanwhile. */
function stepOf(now: Output, before: Flow | undefined): number | null {
  const fromS = before?.output.timeS ?? null
  const count = before === undefined ? 0 : countOf(now) - countOf(before.output)
  if (now.timeS === null || fromS === null || !(count > 0 && now.timeS > fromS))
    return before?.stepS ?? null
  return (now.timeS - fromS) / count
}

function flowOf(now: Output, nowS: number, before: Flow | undefined): Flow {
  const ageS = now.timeS === null ? null : Math.max(0, nowS - now.timeS)
  const trace = before?.trace ?? []
  const isNew = now.value !== null && now.timeS !== before?.output.timeS
  return {
    output: now,
    condition: conditionOf(now, before?.output, ageS),
    ageS,
    stepS: stepOf(now, before),
    trace: isNew ? [...trace, now.value as number].slice(-TRACE_POINTS_MAX) : trace,
  }
}

const outputName = ({ block, port }: Pick<Output, 'block' | 'port'>) => `${block}.${port}`

/** What is seen now, with what was seen before. */
export function flowsAfter(
  seen: ChainSeen,
  before: ReadonlyMap<string, Flow>,
): ReadonlyMap<string, Flow> {
  return new Map(
    seen.outputs.map((output) => {
      const name = outputName(output)
      return [name, flowOf(output, seen.nowS, before.get(name))]
    }),
  )
}
