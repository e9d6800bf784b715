import type { Port } from '../chain/block.ts'
import type { Plan, PlannedBlock } from '../chain/plan.ts'
import type { ChainBlock, ChainView } from '../messages/chain.ts'

/** Revisions of the shop's own begin after it. */
export const SHIPPED_REVISION = 1

const carried = ([name, port]: [string, Port]) => ({
  name,
  carries: port.carries,
  of: port.carries === 'number' ? port.unit : port.item,
  help: port.help,
})

function blockOf({ id, block, parameters, inputs }: PlannedBlock, { blocks }: Plan): ChainBlock {
  const optional = new Set<string>(block.optional)
  return {
    id,
    kind: block.kind,
    summary: block.summary,
    parameters,
    schema: block.parameters as unknown as Record<string, unknown>,
    inputs: Object.entries(block.inputs).map(([name, port]) => {
      const source = inputs.get(name)
      const from = source && `${blocks[source.block]?.id}.${source.port}`
      return { ...carried([name, port]), from: from ?? null, isOptional: optional.has(name) }
    }),
    outputs: Object.entries(block.outputs).map(carried),
    delays: block.delays === true,
  }
}

/** A chain that was checked, as a page draws it: blocks in the order in which they are stepped. */
export function chainViewOf(plan: Plan): Omit<ChainView, 'waiting' | 'own'> {
  const { file, blocks, order } = plan
  return {
    revision: `${file.name} r${file.revision}`,
    note: file.note ?? '',
    blocks: order.flatMap((place) => {
      const planned = blocks[place]
      return planned === undefined ? [] : [blockOf(planned, plan)]
    }),
    file: { ...file },
    isShipped: file.revision === SHIPPED_REVISION,
  }
}
