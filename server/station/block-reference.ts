import { exampleOf } from '../blocks/example.ts'
import type { Block } from '../chain/block.ts'
import { ChainRefused } from '../chain/chain-refused.ts'
import type { BlockReference, ChainKind } from '../messages/chain.ts'
import type { Catalogue } from '../own-blocks/catalogue.ts'
import { chainKindOf } from './chain-kinds.ts'

const defaultsOf = ({ parameters }: Block): Record<string, unknown> =>
  Object.fromEntries(
    Object.entries(parameters.properties).map(([name, schema]) => [
      name,
      (schema as { default?: unknown }).default,
    ]),
  )

function delayOf(block: Block): number | null {
  const delay = block.delaySamples?.(defaultsOf(block))
  return delay !== undefined && Number.isFinite(delay) ? delay : null
}

/** The unit of an input, as the parameter that names it has it by default. */
function unitOf({ inputs }: ChainKind, block: Block) {
  const defaults = defaultsOf(block)
  return (name: string): string | null => {
    const port = inputs.find((one) => one.name === name)
    if (port === undefined) return null
    return port.of ?? (port.unitFrom === null ? null : String(defaults[port.unitFrom]))
  }
}

function referenceOf(block: Block, ownFile: string | null): BlockReference {
  const kind = chainKindOf(block)
  const told = { ...kind, delaySamples: delayOf(block), ownFile }
  try {
    const example = exampleOf(block, unitOf(kind, block))
    return { ...told, example: example as unknown as BlockReference['example'] }
  } catch (error) {
    if (!(error instanceof ChainRefused)) throw error
    return { ...told, example: null }
  }
}

/** Every block with what it makes of a test signal: worked out when it is first asked for. */
export function makeReference({ blocks, own }: Catalogue): () => BlockReference[] {
  let made: BlockReference[] | null = null
  return () => {
    made ??= blocks.map((block) => {
      const mine = own.find((one) => one.block === block)
      return referenceOf(block, mine?.file ?? null)
    })
    return made
  }
}
