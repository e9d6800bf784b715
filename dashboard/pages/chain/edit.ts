import type { ChainKind } from '../../../server/messages/chain.ts'
import { words } from '../../words/en.ts'
import {
  areAlike,
  type Connection,
  type Draft,
  type DraftBlock,
  type Edited,
  endOf,
  type Kinds,
  portAt,
} from './draft.ts'
import { fitInto, parametersToTake } from './fitting.ts'
import { propertiesOf } from './schema.ts'

const { edit: say } = words.chain

/** As the chain file has it: its own bounds, and what a block may be called. */
const BLOCKS_MAX = 200
const ID = /^[a-z][a-z0-9-]{0,39}$/
const ID_LENGTH_MAX = 40
/** The one block that a chain has exactly once. */
const SOURCE_KIND = 'link'

const refused = (why: string): Edited => ({ why })
const findBlock = ({ blocks }: Draft, id: string) => blocks.find((block) => block.id === id)
const noBlock = (id: string) => refused(say.noBlock(id))

/** A name that is not taken: that of the kind, or the first free one after it. */
function freeId({ blocks }: Draft, kind: string): string {
  const taken = new Set(blocks.map(({ id }) => id))
  for (let number = 1; ; number++) {
    const end = number === 1 ? '' : `-${number}`
    const id = kind.slice(0, ID_LENGTH_MAX - end.length) + end
    if (!taken.has(id)) return id
  }
}

/** The block with these parameters; without the key where there are none. */
const withParameters = (
  { id, kind }: DraftBlock,
  parameters: Readonly<Record<string, unknown>> = {},
): DraftBlock => (Object.keys(parameters).length > 0 ? { id, kind, parameters } : { id, kind })

const replaced = (draft: Draft, block: DraftBlock): Draft => ({
  ...draft,
  blocks: draft.blocks.map((one) => (one.id === block.id ? block : one)),
})

function whyNotAdded(draft: Draft, kinds: Kinds, kind: string): string | null {
  if (!kinds.has(kind)) return say.noKind(kind)
  if (draft.blocks.length >= BLOCKS_MAX) return say.full(BLOCKS_MAX)
  const hasSource = draft.blocks.some((block) => block.kind === SOURCE_KIND)
  return kind === SOURCE_KIND && hasSource ? say.oneSource : null
}

/** What an edit that makes a block came to, with the name that the block has got. */
export type Added = Edited & { readonly id?: string }

/** A block that nothing is connected to yet. */
export function add(draft: Draft, kinds: Kinds, kind: string): Added {
  const why = whyNotAdded(draft, kinds, kind)
  if (why !== null) return refused(why)
  const id = freeId(draft, kind)
  return { id, draft: { ...draft, blocks: [...draft.blocks, { id, kind }] } }
}

const isSame = (one: Connection, other: Connection) =>
  one.from === other.from && one.to === other.to

/** Puts a block into a connection, by its first input and output that fit. */
export function insert(draft: Draft, kinds: Kinds, where: Connection, kindName: string): Added {
  const why = whyNotAdded(draft, kinds, kindName)
  if (why !== null) return refused(why)
  const place = draft.connections.findIndex((one) => isSame(one, where))
  if (place < 0) return refused(say.noConnection(where.from, where.to))
  const type = portAt(draft, kinds, 'outputs', where.from)?.type ?? null
  const fit = type && fitInto(kinds.get(kindName) as ChainKind, type)
  if (fit === null) return refused(say.fitsNot(kindName, where.from, where.to))
  const id = freeId(draft, kindName)
  const block = withParameters({ id, kind: kindName }, fit.parameters)
  // Beside the block that it feeds, so that the text reads in the order of the drawing.
  const at = draft.blocks.findIndex((one) => one.id === endOf(where.to).id)
  return {
    id,
    draft: {
      ...draft,
      blocks: draft.blocks.toSpliced(at < 0 ? draft.blocks.length : at, 0, block),
      connections: draft.connections.toSpliced(
        place,
        1,
        { from: where.from, to: `${id}.${fit.input}` },
        { from: `${id}.${fit.output}`, to: where.to },
      ),
    },
  }
}

/** Connects an input to an output; what it was connected to before, it is no more. */
export function connect(draft: Draft, kinds: Kinds, { from, to }: Connection): Edited {
  const source = portAt(draft, kinds, 'outputs', from)
  const target = portAt(draft, kinds, 'inputs', to)
  if (source === null) return refused(say.noOutput(from))
  if (target === null) return refused(say.noInput(to))
  const parameters = parametersToTake(draft, kinds, { from, to })
  if (parameters === null)
    return refused(say.unlike(from, source.type?.of ?? null, to, target.type?.of ?? null))
  const taking =
    parameters === target.block.parameters
      ? draft
      : replaced(draft, withParameters(target.block, parameters))
  const others = draft.connections.filter((one) => one.to !== to)
  const place = draft.connections.findIndex((one) => one.to === to)
  const connections = others.toSpliced(place < 0 ? others.length : place, 0, { from, to })
  return { draft: { ...taking, connections } }
}

/** Leaves an input unconnected. */
export function disconnect(draft: Draft, to: string): Edited {
  const connections = draft.connections.filter((one) => one.to !== to)
  if (connections.length === draft.connections.length) return refused(say.notConnected(to))
  return { draft: { ...draft, connections } }
}

/** Sets a parameter; `undefined` leaves it at its default. */
export function setParameter(
  draft: Draft,
  kinds: Kinds,
  id: string,
  name: string,
  value: unknown,
): Edited {
  const block = findBlock(draft, id)
  if (block === undefined) return noBlock(id)
  const kind = kinds.get(block.kind)
  if (kind === undefined) return refused(say.noKind(block.kind))
  if (!Object.hasOwn(propertiesOf(kind.schema), name)) return refused(say.noParameter(id, name))
  const { [name]: _, ...others } = block.parameters ?? {}
  const parameters = value === undefined ? others : { ...(block.parameters ?? {}), [name]: value }
  return { draft: replaced(draft, withParameters(block, parameters)) }
}

/** Gives a block another name, in its connections too. */
export function rename(draft: Draft, id: string, to: string): Edited {
  const block = findBlock(draft, id)
  if (block === undefined) return noBlock(id)
  if (!ID.test(to)) return refused(say.badName(to))
  if (to !== id && findBlock(draft, to) !== undefined) return refused(say.nameTaken(to))
  const renamed = (end: string) => (endOf(end).id === id ? `${to}.${endOf(end).port}` : end)
  return {
    draft: {
      ...draft,
      blocks: draft.blocks.map((one) => (one.id === id ? { ...one, id: to } : one)),
      connections: draft.connections.map(({ from, to: target }) => ({
        from: renamed(from),
        to: renamed(target),
      })),
    },
  }
}

/** What goes on where a block is gone: its first source that carries the same. */
function sourceInstead(draft: Draft, kinds: Kinds, id: string, from: string): string | null {
  const type = portAt(draft, kinds, 'outputs', from)?.type ?? null
  const fed = draft.connections.filter(
    (one) => endOf(one.to).id === id && endOf(one.from).id !== id,
  )
  const like = fed.find((one) => {
    const source = portAt(draft, kinds, 'outputs', one.from)
    return source !== null && areAlike(source.type, type)
  })
  return like?.from ?? null
}

/** Takes a block out. Its neighbours are joined again where what goes over the connection is the same. */
export function remove(draft: Draft, kinds: Kinds, id: string): Edited {
  const block = findBlock(draft, id)
  if (block === undefined) return noBlock(id)
  if (block.kind === SOURCE_KIND) return refused(say.keepSource(id))
  const connections = draft.connections.flatMap((one): Connection[] => {
    if (endOf(one.to).id === id) return []
    if (endOf(one.from).id !== id) return [one]
    const from = sourceInstead(draft, kinds, id, one.from)
    return from === null ? [] : [{ from, to: one.to }]
  })
  return { draft: { ...draft, blocks: draft.blocks.filter((one) => one.id !== id), connections } }
}
