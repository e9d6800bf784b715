import type { ChainKind } from '../../../server/messages/chain.ts'
import {
  areAlike,
  type Connection,
  type DeclaredPort,
  type Draft,
  type DraftBlock,
  defaultOf,
  type Kinds,
  type PortType,
  portAt,
  RATE_OF,
  typeOfPort,
} from './draft.ts'
import { choicesOf, propertiesOf } from './schema.ts'

type Parameters = Readonly<Record<string, unknown>>

/** The unit that a parameter must name so that a port carries `of`. */
const unitFor = ({ isRate }: DeclaredPort, of: string): string | undefined =>
  isRate ? Object.keys(RATE_OF).find((unit) => RATE_OF[unit] === of) : of

/** The parameters with which a port carries this type; null where none do. */
function parametersFor(
  kind: ChainKind,
  port: DeclaredPort,
  type: PortType,
  given: Parameters,
): Parameters | null {
  if (areAlike(typeOfPort(kind, port, given), type)) return given
  if (port.carries !== type.carries || port.unitFrom === null) return null
  const unit = unitFor(port, type.of)
  const schema = propertiesOf(kind.schema)[port.unitFrom]
  if (unit === undefined || schema === undefined || !choicesOf(schema).includes(unit)) return null
  return { ...given, [port.unitFrom]: unit }
}

/** How a kind goes into a connection. */
interface Fit {
  readonly input: string
  readonly output: string
  readonly parameters: Parameters
}

/** The parameters with the unit of a port said, where it would only be the default. */
const saidOutright = (kind: ChainKind, { unitFrom }: DeclaredPort, given: Parameters) =>
  unitFrom === null ? given : { [unitFrom]: defaultOf(kind, unitFrom), ...given }

/** The kind's first input and output that take and give this type; null where it has none. */
export function fitInto(kind: ChainKind, type: PortType): Fit | null {
  for (const input of kind.inputs) {
    const taking = parametersFor(kind, input, type, {})
    if (taking === null) continue
    for (const output of kind.outputs) {
      const parameters = parametersFor(kind, output, type, taking)
      if (parameters !== null && areAlike(typeOfPort(kind, input, parameters), type))
        return {
          input: input.name,
          output: output.name,
          parameters: saidOutright(kind, output, saidOutright(kind, input, parameters)),
        }
    }
  }
  return null
}

/** The kinds that can be put into a connection, in the order of the catalogue. */
export function kindsInto(draft: Draft, kinds: Kinds, { from }: Connection): ChainKind[] {
  const type = portAt(draft, kinds, 'outputs', from)?.type ?? null
  if (type === null) return []
  return [...kinds.values()].filter((kind) => fitInto(kind, type) !== null)
}

/** Whether a parameter's unit is held by another port that is connected already. */
function isHeld(draft: Draft, kind: ChainKind, id: string, parameter: string, except: string) {
  const tied = [...kind.inputs, ...kind.outputs]
    .filter(({ unitFrom }) => unitFrom === parameter)
    .map(({ name }) => `${id}.${name}`)
  return draft.connections.some(
    ({ from, to }) => tied.includes(from) || (to !== except && tied.includes(to)),
  )
}

/** The parameters with which an input takes an output: as they are, or with the unit that no other port holds. */
export function parametersToTake(
  draft: Draft,
  kinds: Kinds,
  { from, to }: Connection,
): DraftBlock['parameters'] | null {
  const source = portAt(draft, kinds, 'outputs', from)
  const target = portAt(draft, kinds, 'inputs', to)
  if (source?.type == null || target === null) return null
  const { block, kind, port } = target
  const given = block.parameters ?? {}
  const taking = parametersFor(kind, port, source.type, given)
  if (taking === null || taking === given) return taking && block.parameters
  const isFree = port.unitFrom !== null && !isHeld(draft, kind, block.id, port.unitFrom, to)
  return isFree ? taking : null
}

/** Every output that an input can be connected to, as `block.port`. */
export function outputsFor(draft: Draft, kinds: Kinds, to: string): string[] {
  return draft.blocks
    .flatMap(({ id, kind }) => (kinds.get(kind)?.outputs ?? []).map(({ name }) => `${id}.${name}`))
    .filter((from) => parametersToTake(draft, kinds, { from, to }) !== null)
}
