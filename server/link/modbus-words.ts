import type { WireState } from './link.ts'
import type { PollFailure } from './modbus-client.ts'

type Said = Pick<WireState, 'state' | 'reason' | 'hint'>

/** Exception codes of the Modbus application protocol, as one who sets up a sensor needs them. */
const EXCEPTIONS: Readonly<Record<number, readonly [what: string, todo: string]>> = {
  1: ['does not know this function', 'Take the other of input and holding registers.'],
  2: ['has no such register', 'Check the register: on the wire they count from 0.'],
  3: ['does not give so many registers', 'Check how many registers its value has.'],
  4: ['has a fault', 'Look at the sensor, and switch it off and on.'],
  6: ['is busy', 'Poll less often.'],
}

/** What is said of a sensor that failed several polls in a row. */
export function describeFailure({ kind, code }: PollFailure, path: string, unitId: number): Said {
  switch (kind) {
    case 'timeout':
      return {
        state: 'silent',
        reason: `No sensor answers as unit ${unitId} on ${path}.`,
        hint: 'Check power, both wires of the bus (swapped?), unit id and baud rate.',
      }
    case 'crc':
      return {
        state: 'garbled',
        reason: `Answers on ${path} are damaged.`,
        hint: 'Check baud rate and parity, the end resistors of the bus, and that each unit id is there once.',
      }
    case 'exception': {
      const [what, todo] = EXCEPTIONS[code] ?? [
        'refuses',
        "Look the code up in the sensor's sheet.",
      ]
      return {
        state: 'garbled',
        reason: `Unit ${unitId} on ${path} ${what} (exception ${code}).`,
        hint: todo,
      }
    }
    case 'gone':
      return {
        state: 'lost',
        reason: `${path} has gone: the adapter was unplugged.`,
        hint: 'Plug it in again; the daemon finds it by itself.',
      }
  }
}
