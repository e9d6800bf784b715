import * as Value from 'typebox/value'
import type { Block, Port, Ports } from './block.ts'
import { type ChainFile, type ConnectionEntry, firstError, readChainFile } from './chain-file.ts'
import { ChainRefused } from './chain-refused.ts'
import { stepOrder } from './order.ts'
import type { Plan, PlannedBlock } from './plan.ts'
import { withUnits } from './with-units.ts'

/** The kind of the one block that the engine fills itself, with the lines that are pushed. */
export const SOURCE_KIND = 'link'

/**
 * Checks a chain file against the catalogue: schema, kinds, parameters, ports, types and units, one
 * connection an input, required inputs, what a block objects to, loops.
 * @throws ChainRefused with the block and port at fault.
 */
export function checkChain(input: unknown, catalogue: readonly Block[]): Plan {
  const given = readChainFile(input)
  const blocks = planBlocks(given, catalogue)
  const file = withCodes(given, blocks)
  const places = new Map(blocks.map(({ id }, place) => [id, place]))
  for (const connection of file.connections) connect(connection, blocks, places)
  for (const planned of blocks) demandInputs(planned)
  for (const planned of blocks) hearObjection(planned)
  return { file, blocks, order: stepOrder(blocks) }
}

/** The blocks of a file by themselves, not yet connected. @throws ChainRefused. */
export function planBlocks(file: ChainFile, catalogue: readonly Block[]): PlannedBlock[] {
  const kinds = new Map(catalogue.map((block) => [block.kind, block]))
  const seen = new Set<string>()
  const blocks = file.blocks.map(({ id, kind, parameters, code }) => {
    const block = kinds.get(kind)
    if (block === undefined)
      throw new ChainRefused(
        'unknown kind',
        `Block "${id}": there is no block "${kind}"; own blocks come from the folder that --blocks names.`,
        { block: id },
      )
    if (seen.has(id))
      throw new ChainRefused('duplicate id', `Two blocks are called "${id}"; rename one.`, {
        block: id,
      })
    seen.add(id)
    demandCode(id, block, code)
    const filled = fillParameters(id, block, parameters ?? {})
    return { id, block: withUnits(block, filled), parameters: filled, inputs: new Map() }
  })
  const sources = blocks.filter(({ block }) => block.kind === SOURCE_KIND).length
  if (sources !== 1)
    throw new ChainRefused('no source', `A chain needs one "${SOURCE_KIND}" block, not ${sources}.`)
  return blocks
}

/** A chain runs with the code that it was made with, or not at all. */
function demandCode(id: string, { kind, code }: Block, made: string | undefined): void {
  if (made === undefined || made === code) return
  const now =
    code === undefined
      ? `"${kind}" now comes with the program`
      : `the file of "${kind}" has SHA-256 ${code.slice(0, 12)}… now`
  throw new ChainRefused(
    'other code',
    `Block "${id}" was put in with other code (SHA-256 ${made.slice(0, 12)}…), and ${now}: ` +
      `put the old file back, or take "code" out of the block in the text view and prove the chain anew.`,
    { block: id },
  )
}

/** The same file, naming the code of each block that does not come with the program. */
export function withCodes(file: ChainFile, blocks: readonly PlannedBlock[]): ChainFile {
  if (blocks.every(({ block }) => block.code === undefined)) return file
  return {
    ...file,
    blocks: file.blocks.map((entry, place) => {
      const code = blocks[place]?.block.code
      return code === undefined ? entry : { ...entry, code }
    }),
  }
}

function fillParameters(id: string, block: Block, given: object): Record<string, unknown> {
  const filled = Value.Default(block.parameters, Value.Clone(given))
  // Not left to the schema alone: a block that forgot to close its schema would swallow a misspelt name.
  const unknown = Object.keys(given).filter(
    (key) => !Object.hasOwn(block.parameters.properties, key),
  )
  if (unknown.length === 0 && Value.Check(block.parameters, filled)) return Object.freeze(filled)
  const known = Object.keys(block.parameters.properties).join(', ') || 'none'
  const why =
    unknown.length > 0
      ? `there is no ${unknown.join(', ')}; it has: ${known}`
      : firstError(block.parameters, filled)
  throw new ChainRefused('bad parameters', `Parameters of block "${id}": ${why}.`, { block: id })
}

function connect(
  { from, to }: ConnectionEntry,
  blocks: readonly PlannedBlock[],
  places: ReadonlyMap<string, number>,
): void {
  const source = findEnd(from, 'outputs', blocks, places)
  const target = findEnd(to, 'inputs', blocks, places)
  const where = { block: target.planned.id, port: target.port }
  if (typeName(source.type) !== typeName(target.type))
    throw new ChainRefused(
      'unequal types',
      `${from} carries ${typeName(source.type)}, but ${to} takes ${typeName(target.type)}.`,
      where,
    )
  if (target.planned.inputs.has(target.port))
    throw new ChainRefused('input taken', `${to} is connected twice; remove one of the two.`, where)
  target.planned.inputs.set(target.port, { block: source.place, port: source.port })
}

/** @throws ChainRefused `unknown block` or `unknown port`. */
export function findEnd(
  end: string,
  side: 'inputs' | 'outputs',
  blocks: readonly PlannedBlock[],
  places: ReadonlyMap<string, number>,
) {
  const dot = end.indexOf('.')
  const id = end.slice(0, dot)
  const port = end.slice(dot + 1)
  const place = places.get(id)
  const planned = place === undefined ? undefined : blocks[place]
  if (place === undefined || planned === undefined)
    throw new ChainRefused('unknown block', `${end}: there is no block "${id}".`, {
      block: id,
      port,
    })
  const ports: Ports = planned.block[side]
  const type = Object.hasOwn(ports, port) ? ports[port] : undefined
  if (type !== undefined) return { planned, place, port, type }
  const known = Object.keys(ports).join(', ') || 'none'
  const sentence = `${end}: "${planned.block.kind}" has no such port; its ${side} are: ${known}.`
  throw new ChainRefused('unknown port', sentence, { block: id, port })
}

const typeName = (port: Port) =>
  port.carries === 'number' ? `numbers in ${port.unit}` : `items "${port.item}"`

function demandInputs({ id, block, parameters, inputs }: PlannedBlock): void {
  const needed = block.needs?.(parameters) ?? []
  for (const port of Object.keys(block.inputs)) {
    if (inputs.has(port) || (block.optional?.includes(port) && !needed.includes(port))) continue
    const sentence = `${id}.${port} is not connected, and "${block.kind}" needs it.`
    throw new ChainRefused('input missing', sentence, { block: id, port })
  }
}

function hearObjection({ id, block, parameters, inputs }: PlannedBlock): void {
  const objection = block.objection?.(parameters, new Set(inputs.keys())) ?? null
  if (objection === null) return
  const { port, why } = objection
  throw new ChainRefused('block objects', `${id}.${port} ${why}`, { block: id, port })
}
