import type { ChainBlock } from '../../../server/messages/chain.ts'
import type { Flow } from './flow.ts'

/** What can be wrong with what comes out of a block, the worst last. */
const TROUBLES = ['late', 'uncertain', 'bad', 'stale'] as const
type Trouble = (typeof TROUBLES)[number]

/** An output at which something is wrong while all is well, or less wrong, at what its block takes. */
interface Beginning {
  readonly trouble: Trouble
  readonly block: string
  readonly port: string
  readonly ageS: number
  /** Nothing but lines comes into its block: what is wrong lies on the wire or before it. */
  readonly isFirst: boolean
}

/** So long after the last value the next is late, and no sensor of the shop is so slow by itself. */
const LATE_AFTER_S = 0.3
/** A slow sensor is late when so many of its usual steps have passed. */
const LATE_STEPS = 3

/** @returns null where all is well, and where no value ever came: that output is not in use. */
function troubleOf(flow: Flow | undefined): Trouble | null {
  if (flow === undefined || flow.ageS === null) return null
  if (flow.condition === 'quiet') return 'stale'
  if (flow.condition === 'bad' || flow.condition === 'uncertain') return flow.condition
  const lateAfterS = Math.max(LATE_AFTER_S, LATE_STEPS * (flow.stepS ?? 0))
  return flow.ageS > lateAfterS ? 'late' : null
}

const worse = (trouble: Trouble | null) => (trouble === null ? -1 : TROUBLES.indexOf(trouble))

/**
 * Where trouble begins, from the left: each number output that is worse off than every number that its block
 * takes. What lies behind inherits it and is not named again.
 *
 * @param blocks In the order in which they are stepped.
 */
export function beginningsOf(
  blocks: readonly ChainBlock[],
  flows: ReadonlyMap<string, Flow>,
): readonly Beginning[] {
  return blocks.flatMap(({ id, inputs, outputs }) => {
    const taken = inputs.filter(({ carries, from }) => carries === 'number' && from !== null)
    const before = Math.max(-1, ...taken.map(({ from }) => worse(troubleOf(flows.get(from ?? '')))))
    return outputs.flatMap(({ name: port, carries }): Beginning[] => {
      const flow = flows.get(`${id}.${port}`)
      const trouble = carries === 'number' ? troubleOf(flow) : null
      if (trouble === null || worse(trouble) <= before) return []
      return [{ trouble, block: id, port, ageS: flow?.ageS ?? 0, isFirst: taken.length === 0 }]
    })
  })
}

/** The one to look at: the worst; of equals the one furthest to the left. */
export function worstOf(beginnings: readonly Beginning[]): Beginning | null {
  return beginnings.reduce<Beginning | null>(
    (worst, one) => (worst === null || worse(one.trouble) > worse(worst.trouble) ? one : worst),
    null,
  )
}
