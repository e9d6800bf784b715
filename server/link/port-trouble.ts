export interface PortTrouble {
  readonly kind: 'missing' | 'forbidden' | 'busy' | 'unfit' | 'other'
  /** One sentence each: what is wrong, what to do. */
  readonly reason: string
  readonly hint: string
}

/** What an error of the serial library means to the one at the bender. */
export function describeTrouble(path: string, error: unknown): PortTrouble {
  const message = error instanceof Error ? error.message : String(error)
  const found = TROUBLES.find(({ pattern }) => pattern.test(message))
  if (!found) {
    const detail = message.replace(/^Error:?\s*/i, '').replace(/\.?$/, '.')
    return {
      kind: 'other',
      reason: `${path} could not be opened: ${detail}`,
      hint: 'Unplug the board, plug it in again and wait a moment.',
    }
  }
  return { kind: found.kind, reason: found.reason(path), hint: found.hint }
}

interface KnownTrouble {
  readonly pattern: RegExp
  readonly kind: PortTrouble['kind']
  readonly reason: (path: string) => string
  readonly hint: string
}

/** The wording of the operating system as the library hands it on (serialport 13, Linux and macOS). */
const TROUBLES: readonly KnownTrouble[] = [
  {
    pattern: /no such file|no such device|not found/i,
    kind: 'missing',
    reason: (path) => `There is no port ${path}.`,
    hint: 'Plug the board in, or look for its name with: ls -l /dev/serial/by-id',
  },
  {
    pattern: /permission denied|access denied|operation not permitted/i,
    kind: 'forbidden',
    reason: (path) => `This user may not open ${path}.`,
    hint: 'Add the user to the group dialout (sudo usermod -aG dialout NAME), then log in again.',
  },
  {
    pattern: /cannot lock port|resource busy|temporarily unavailable/i,
    kind: 'busy',
    reason: (path) => `Another program holds ${path}.`,
    hint: 'Close the other program: a serial monitor, or a second daemon.',
  },
  {
    pattern: /inappropriate ioctl|is a directory|not a typewriter|not a tty/i,
    kind: 'unfit',
    reason: (path) => `${path} is not a serial port.`,
    hint: 'Give the name of a serial port, for example one below /dev/serial/by-id.',
  },
  {
    pattern: /baud/i,
    kind: 'unfit',
    reason: (path) => `${path} cannot be set to this baud rate.`,
    hint: 'Give the rate that the board uses with --baud, for example 115200.',
  },
]
