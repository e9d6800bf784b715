import { ChainRefused } from './chain-refused.ts'

/** The numbers that JSON cannot carry are wrapped, so that a restored block goes on bit for bit. */
const WRAPPER = '$number'

/** The memory of all blocks as text. @throws TypeError for a memory that is not plain data. */
export function writeSnapshot(revision: string, memories: ReadonlyMap<string, object>): string {
  const blocks = Object.fromEntries(memories)
  return JSON.stringify({ revision, blocks }, (key, value: unknown) => {
    if (typeof value === 'number')
      return Number.isFinite(value) && !Object.is(value, -0) ? value : { [WRAPPER]: nameOf(value) }
    if (value === null || typeof value === 'string' || typeof value === 'boolean') return value
    if (Array.isArray(value) || isPlain(value)) return value
    throw new TypeError(`A block's memory must be plain data; "${key}" is not.`)
  })
}

/**
 * Brings memories back that `writeSnapshot` wrote; all of them, or none.
 * @throws ChainRefused `bad snapshot`, naming the block where it can.
 */
export function readSnapshot(
  text: string,
  revision: string,
  memories: ReadonlyMap<string, object>,
): void {
  const snapshot = parse(text)
  if (snapshot.revision !== revision)
    throw refused(`it was taken of "${snapshot.revision}", and this chain is "${revision}"`)
  const stored = new Map(Object.entries(snapshot.blocks))
  if (stored.size !== memories.size) throw refused(`it has ${stored.size} blocks`)
  for (const [id, memory] of memories) {
    const block = stored.get(id)
    if (!isPlain(block) || keysOf(block) !== keysOf(memory))
      throw refused(`the memory of block "${id}" is not there, or of another shape`, id)
  }
  for (const [id, memory] of memories) Object.assign(memory, stored.get(id))
}

/**
 * Brings those memories back that fit a block of the same name; the others begin as they are.
 * @returns the names of the blocks that were not in the snapshot, or remember otherwise now.
 * @throws ChainRefused `bad snapshot` for what is none.
 */
export function adoptSnapshot(text: string, memories: ReadonlyMap<string, object>): string[] {
  const stored = new Map(Object.entries(parse(text).blocks))
  const strange: string[] = []
  for (const [id, memory] of memories) {
    const block: unknown = stored.get(id)
    if (isPlain(block) && keysOf(block) === keysOf(memory)) Object.assign(memory, block)
    else strange.push(id)
  }
  return strange
}

function parse(text: string): { revision: unknown; blocks: object } {
  let value: unknown
  try {
    value = JSON.parse(text, (_, part: unknown) =>
      isPlain(part) && WRAPPER in part ? Number(part[WRAPPER]) : part,
    )
  } catch {
    throw refused('it is not JSON')
  }
  if (!isPlain(value) || !isPlain(value['blocks'])) throw refused('it holds no blocks')
  return { revision: value['revision'], blocks: value['blocks'] }
}

const refused = (why: string, block?: string) =>
  new ChainRefused(
    'bad snapshot',
    `The snapshot is refused: ${why}.`,
    block === undefined ? {} : { block },
  )

const nameOf = (value: number) => (Object.is(value, -0) ? '-0' : String(value))

const keysOf = (memory: object) => Object.keys(memory).sort().join(' ')

function isPlain(value: unknown): value is Record<string, unknown> {
  return (
    typeof value === 'object' && value !== null && Object.getPrototypeOf(value) === Object.prototype
  )
}
