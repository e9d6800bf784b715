import type { Clock } from '../link/link.ts'
import type { Probed, Wire } from '../messages/wire.ts'
import { probeFor } from '../station/probe-for.ts'
import { Refused } from '../web/station-door.ts'
import { BadInput } from './command.ts'
import { type WireFlags, wireFrom } from './serve-wire.ts'

/** The dialect's name for "listen, and take what speaks". */
const AUTO = 'auto'

export const isAuto = ({ dialect }: WireFlags): boolean => dialect === AUTO

type Listen = (path: string, clock: Clock) => Promise<Probed>

/**
 * Listens at the port and takes what speaks there, with its baud rate.
 *
 * @throws BadInput when nothing can be taken, or more would have to be known.
 */
export async function wireHeard(
  flags: WireFlags,
  clock: Clock,
  listen: Listen = probeFor,
): Promise<{ readonly wire: Wire; readonly why: string }> {
  const { serial } = flags
  if (serial === undefined) throw new BadInput('--dialect auto listens at a port: give --serial.')
  if (flags.baud !== undefined)
    throw new BadInput('--dialect auto finds the rate too: leave out --baud.')
  // What contradicts the port, or belongs to one dialect only, is refused as with the native one.
  wireFrom({ ...flags, dialect: 'native' })
  const { wire, sure, sentence } = await heardAt(serial, clock, listen)
  if (wire === null) throw new BadInput(`--dialect auto: ${sentence}`)
  if (wire.kind === 'modbus')
    throw new BadInput(
      `--dialect auto: ${sentence} Its sheet says which register is the angle: give --dialect modbus-rtu with --unit-id, --function, --register and --registers-as.`,
    )
  return { wire, why: `${sentence} That is ${Math.round(100 * sure)} % sure.` }
}

async function heardAt(path: string, clock: Clock, listen: Listen): Promise<Probed> {
  try {
    return await listen(path, clock)
  } catch (error) {
    if (error instanceof Refused) throw new BadInput(`--serial: ${error.message}`)
    throw error
  }
}
