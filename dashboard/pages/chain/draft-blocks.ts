import type { ChainBlock, ChainKind } from '../../../server/messages/chain.ts'
import { type DeclaredPort, type Draft, type Kinds, portAt, typeOfPort } from './draft.ts'
import { propertiesOf } from './schema.ts'

function filled(kind: ChainKind, given: Readonly<Record<string, unknown>>) {
  const defaults = Object.entries(propertiesOf(kind.schema)).map(([name, schema]) => [
    name,
    schema.default,
  ])
  return { ...Object.fromEntries(defaults), ...given }
}

/** The draft's blocks as the drawing takes them. One of an unknown kind has no ports. */
export function draftBlocks(draft: Draft, kinds: Kinds): ChainBlock[] {
  const sources = new Map(
    draft.connections
      .filter(({ from }) => portAt(draft, kinds, 'outputs', from) !== null)
      .map(({ from, to }) => [to, from]),
  )
  return draft.blocks.map(({ id, kind: name, parameters = {} }) => {
    const kind = kinds.get(name)
    if (kind === undefined)
      return {
        ...{ id, kind: name, summary: '', parameters, schema: {}, delays: false },
        ...{ inputs: [], outputs: [] },
      }
    const carried = (port: DeclaredPort) => ({
      name: port.name,
      carries: port.carries,
      of: typeOfPort(kind, port, parameters)?.of ?? '?',
      help: port.help,
    })
    return {
      ...{ id, kind: name, summary: kind.summary, delays: kind.delays },
      parameters: filled(kind, parameters),
      schema: kind.schema,
      inputs: kind.inputs.map((port) => ({
        ...carried(port),
        from: sources.get(`${id}.${port.name}`) ?? null,
        isOptional: port.isOptional,
      })),
      outputs: kind.outputs.map(carried),
    }
  })
}
