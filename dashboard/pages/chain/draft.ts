import type { ChainKind } from '../../../server/messages/chain.ts'

/** A block as a chain file has it. */
export interface DraftBlock {
  readonly id: string
  readonly kind: string
  readonly parameters?: Readonly<Record<string, unknown>>
}

/** From a block's output to a block's input, each as `block.port`. */
export interface Connection {
  readonly from: string
  readonly to: string
}

/** A chain that is being changed: a chain file that has not been checked yet. */
export interface Draft {
  readonly format: string
  readonly version: number
  readonly name: string
  readonly revision: number
  readonly note?: string
  readonly blocks: readonly DraftBlock[]
  readonly connections: readonly Connection[]
}

/** The blocks that there are, by kind. */
export type Kinds = ReadonlyMap<string, ChainKind>

/** What one edit came to: another draft, or one sentence why there is none. */
export type Edited = { readonly draft: Draft } | { readonly why: string }

type Side = 'inputs' | 'outputs'
export type DeclaredPort = ChainKind[Side][number]

/** What a port carries in this draft: a unit, or the name of what is handed on; null: its parameter says no unit. */
export interface PortType {
  readonly carries: 'number' | 'item'
  readonly of: string
}

/** Units whose rate of change has a unit too, as the catalogue knows them. */
export const RATE_OF: Readonly<Record<string, string>> = {
  count: 'count/s',
  deg: 'deg/s',
  'deg/s': 'deg/s^2',
  s: '1',
  bar: 'bar/s',
  '1': '1/s',
}

/** Block and port of one end of a connection. */
export function endOf(end: string): { readonly id: string; readonly port: string } {
  const dot = end.indexOf('.')
  return dot < 0 ? { id: end, port: '' } : { id: end.slice(0, dot), port: end.slice(dot + 1) }
}

/** The default that a kind's schema gives a parameter. */
export function defaultOf(kind: ChainKind, parameter: string): unknown {
  const properties = kind.schema['properties'] as Readonly<Record<string, { default?: unknown }>>
  return Object.hasOwn(properties ?? {}, parameter) ? properties[parameter]?.default : undefined
}

/** @returns null where the parameter that names the unit names none. */
export function typeOfPort(
  kind: ChainKind,
  port: DeclaredPort,
  parameters: DraftBlock['parameters'] = {},
): PortType | null {
  const { carries, of, unitFrom, isRate } = port
  if (of !== null) return { carries, of }
  if (unitFrom === null) return null
  const unit = Object.hasOwn(parameters, unitFrom)
    ? parameters[unitFrom]
    : defaultOf(kind, unitFrom)
  if (typeof unit !== 'string') return null
  if (!isRate) return { carries, of: unit }
  const rate = Object.hasOwn(RATE_OF, unit) ? RATE_OF[unit] : undefined
  return rate === undefined ? null : { carries, of: rate }
}

/** One end of a connection, looked up in the draft; null where block, kind or port is unknown. */
export function portAt(draft: Draft, kinds: Kinds, side: Side, end: string) {
  const { id, port: name } = endOf(end)
  const block = draft.blocks.find((one) => one.id === id)
  const kind = block && kinds.get(block.kind)
  const port = kind?.[side].find((one) => one.name === name)
  if (block === undefined || kind === undefined || port === undefined) return null
  return { block, kind, port, type: typeOfPort(kind, port, block.parameters) }
}

export const areAlike = (one: PortType | null, other: PortType | null): boolean =>
  one !== null && other !== null && one.carries === other.carries && one.of === other.of
