import type { Block, DeclaredPort, DeclaredPorts, Port } from './block.ts'
import type { PlacedBlock } from './plan.ts'
import { rateUnits, UNITS } from './unit.ts'

/** The block with what these parameters say of its ports' units put in. */
export function withUnits(
  block: Block,
  parameters: Readonly<Record<string, unknown>>,
): PlacedBlock {
  const put = (ports: DeclaredPorts) =>
    Object.fromEntries(
      Object.entries(ports).map(([name, port]) => [name, putUnit(port, parameters)]),
    )
  return { ...block, inputs: put(block.inputs), outputs: put(block.outputs) }
}

function putUnit(port: DeclaredPort, parameters: Readonly<Record<string, unknown>>): Port {
  if (port.carries === 'item') return port
  const { unit } = port
  if (typeof unit === 'string') return { ...port, unit }
  const named = UNITS.find((known) => known === parameters[unit.parameter])
  const resolved = unit.as === 'its rate' && named !== undefined ? rateUnits[named] : named
  // The block's schema lets only units through that the port can have.
  if (resolved === undefined) throw new Error(`the parameter "${unit.parameter}" names no unit`)
  return { ...port, unit: resolved }
}
