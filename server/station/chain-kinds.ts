import type { Block, DeclaredPort } from '../chain/block.ts'
import type { ChainKind } from '../messages/chain.ts'

function portOf([name, port]: [string, DeclaredPort]) {
  const { carries, help } = port
  if (port.carries === 'item')
    return { name, carries, of: port.item, unitFrom: null, isRate: false, help }
  const { unit } = port
  if (typeof unit === 'string')
    return { name, carries, of: unit, unitFrom: null, isRate: false, help }
  return { name, carries, of: null, unitFrom: unit.parameter, isRate: unit.as === 'its rate', help }
}

/** A block of the catalogue as its declarations have it, for whoever puts one into a chain. */
export function chainKindOf(block: Block): ChainKind {
  const optional = new Set<string>(block.optional)
  return {
    kind: block.kind,
    summary: block.summary,
    schema: block.parameters as unknown as Record<string, unknown>,
    delays: block.delays === true,
    inputs: Object.entries(block.inputs).map(([name, port]) => ({
      ...portOf([name, port]),
      isOptional: optional.has(name),
    })),
    outputs: Object.entries(block.outputs).map(portOf),
  }
}
