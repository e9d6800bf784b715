import { type TSchema, Type } from 'typebox'
import * as Value from 'typebox/value'
import type { Block } from '../chain/block.ts'
import { firstError } from '../chain/chain-file.ts'
import { ID, PORT } from '../chain/names.ts'
import { strict } from '../chain/strict.ts'
import { UNITS } from '../chain/unit.ts'

const Text = Type.String({ minLength: 1, maxLength: 300, pattern: '^[^\\n]*$' })

const Unit = Type.Union([
  ...UNITS.map((unit) => Type.Literal(unit)),
  strict({
    parameter: Type.String(),
    as: Type.Union([Type.Literal('itself'), Type.Literal('its rate')]),
  }),
])

const PortShape = Type.Union([
  strict({ carries: Type.Literal('number'), unit: Unit, help: Text }),
  strict({ carries: Type.Literal('item'), item: Text, help: Text }),
])

/** What of a block an own one has. It sets no time, closes no loop and feeds no outlet: these can stop a chain. */
const Shape = strict({
  kind: Type.String({ pattern: `^${ID}$` }),
  summary: Text,
  parameters: Type.Unknown(),
  inputs: Type.Record(Type.String(), PortShape),
  outputs: Type.Record(Type.String(), PortShape),
  optional: Type.Optional(Type.Array(Type.String())),
  delaySamples: Type.Optional(Type.Unknown()),
  start: Type.Unknown(),
  step: Type.Unknown(),
})

function refuse(why: string): never {
  throw new RangeError(why)
}

function demandPorts(side: 'inputs' | 'outputs', ports: object): void {
  const names = Object.keys(ports)
  if (names.length === 0) refuse(`it has no ${side}`)
  const odd = names.find((name) => !new RegExp(`^${PORT}$`).test(name))
  if (odd !== undefined) refuse(`its ${side} have the name "${odd}"; take letters and digits`)
}

/** Before the schema looks at it, which can only say that a text is none of ten. */
function demandKnownUnits(side: 'inputs' | 'outputs', ports: unknown): void {
  if (typeof ports !== 'object' || ports === null) return
  for (const [name, port] of Object.entries(ports)) {
    const unit: unknown = port?.unit
    if (
      port?.carries === 'number' &&
      typeof unit === 'string' &&
      !UNITS.some((each) => each === unit)
    )
      refuse(`${side}.${name} has the unit "${unit}"; take one of ${UNITS.join(', ')}`)
  }
}

function demandParameters(parameters: unknown): void {
  const { type, properties } = (parameters ?? {}) as { type?: unknown; properties?: object }
  if (type !== 'object' || typeof properties !== 'object')
    refuse('its parameters are not made with strict({ … })')
  for (const [name, schema] of Object.entries(properties) as [string, Record<string, unknown>][]) {
    if (typeof schema?.['description'] !== 'string')
      refuse(`its parameter "${name}" has no description`)
    if (schema['default'] === undefined) refuse(`its parameter "${name}" has no default`)
  }
  const filled = Value.Default(parameters as TSchema, {})
  if (!Value.Check(parameters as TSchema, filled))
    refuse(
      `its defaults are refused by its own parameters: ${firstError(parameters as TSchema, filled)}`,
    )
}

/** A port whose unit a parameter names that is not there would stop the check of a chain. */
function demandUnits({ inputs, outputs, parameters }: Block): void {
  for (const [name, port] of Object.entries({ ...inputs, ...outputs })) {
    if (port.carries !== 'number' || typeof port.unit === 'string') continue
    const { parameter } = port.unit
    const schema = parameters.properties[parameter] as { default?: unknown } | undefined
    if (!UNITS.some((unit) => unit === schema?.default))
      refuse(`the unit of its port "${name}" comes from "${parameter}", which names no unit`)
  }
}

/** @throws RangeError with the end of a sentence for what is no block of this kind. */
export function ownBlockOf(value: unknown, kind: string): Block {
  if (typeof value !== 'object' || value === null)
    return refuse('its function gives no block: return defineBlock({ … })')
  const plain: { inputs?: unknown; outputs?: unknown } = { ...value }
  demandKnownUnits('inputs', plain.inputs)
  demandKnownUnits('outputs', plain.outputs)
  if (!Value.Check(Shape, plain)) return refuse(firstError(Shape, plain))
  if (typeof plain.start !== 'function' || typeof plain.step !== 'function')
    return refuse('start and step must be functions')
  if (plain.kind !== kind)
    return refuse(`its kind is "${plain.kind}"; name the file ${plain.kind}.mjs`)
  demandPorts('inputs', plain.inputs)
  demandPorts('outputs', plain.outputs)
  demandParameters(plain.parameters)
  const odd = plain.optional?.find((name) => !Object.hasOwn(plain.inputs, name))
  if (odd !== undefined) return refuse(`its optional input "${odd}" is not there`)
  const block = plain as unknown as Block
  demandUnits(block)
  return block
}
