import type { WireState } from './link.ts'
import { describeTrouble, type PortTrouble } from './port-trouble.ts'
import type { WireWatch } from './wire-watch.ts'

type Said = Pick<WireState, 'reason' | 'hint'>

/** What is said of a port to the one at the bender: one sentence each for what is wrong and what to do. */
export interface PortWords {
  /** It could not be opened. */
  trouble(path: string, error: unknown): PortTrouble
  /** It is open, and this is how it is. */
  wire(verdict: WireWatch['verdict'], path: string): Said
  /** It has ended by itself. */
  gone(path: string): Said
}

const LIVE: Said = { reason: '', hint: '' }

export const serialWords = (baudRate: number): PortWords => ({
  trouble: describeTrouble,
  wire(verdict, path) {
    switch (verdict) {
      case 'live':
        return LIVE
      case 'waiting':
        return { reason: `${path} is open; the board has not spoken yet.`, hint: '' }
      case 'silent':
        return {
          reason: `Nothing arrives on ${path}.`,
          hint: 'Check the cable and the power of the board, and that this is the right port.',
        }
      case 'garbled':
        return {
          reason: `Bytes arrive on ${path}, but they make no sense at ${baudRate} baud.`,
          hint: `Set --baud to the rate of the board (now ${baudRate}), and --dialect to what it speaks.`,
        }
    }
  },
  gone: (path) => ({
    reason: `${path} has gone: the board was unplugged or lost its power.`,
    hint: 'Plug it in again; the daemon finds it by itself.',
  }),
})

export const tcpWords: PortWords = {
  trouble: describeTcpTrouble,
  wire(verdict, path) {
    switch (verdict) {
      case 'live':
        return LIVE
      case 'waiting':
        return { reason: `${path} is connected; the board has not spoken yet.`, hint: '' }
      case 'silent':
        return {
          reason: `Nothing arrives from ${path}.`,
          hint: 'Check the cable between converter and board, the power of the board, and the network.',
        }
      case 'garbled':
        return {
          reason: `Bytes arrive from ${path}, but they make no sense.`,
          hint: "Set the converter to the board's baud rate, and --dialect to what the board speaks.",
        }
    }
  },
  gone: (path) => ({
    reason: `${path} has closed the connection.`,
    hint: 'The daemon connects again by itself; look at the power of the converter and the network.',
  }),
}

/** Node's own error codes: the same on every system. */
function describeTcpTrouble(path: string, error: unknown): PortTrouble {
  const code = error instanceof Error && 'code' in error ? String(error.code) : ''
  const found = TCP_TROUBLES.find(({ codes }) => codes.includes(code))
  if (found) return { kind: 'missing', reason: found.reason(path), hint: found.hint }
  const detail = error instanceof Error ? error.message.replace(/\.?$/, '.') : String(error)
  return {
    kind: 'other',
    reason: `${path} could not be reached: ${detail}`,
    hint: 'Look at the address, the network and the converter.',
  }
}

const TCP_TROUBLES: readonly {
  readonly codes: readonly string[]
  readonly reason: (path: string) => string
  readonly hint: string
}[] = [
  {
    codes: ['ECONNREFUSED'],
    reason: (path) => `Nothing takes connections at ${path}.`,
    hint: 'Check the port number, and that nobody else is connected: many converters take one only.',
  },
  {
    codes: ['ENOTFOUND', 'EAI_AGAIN'],
    reason: (path) => `There is no machine of the name in ${path}.`,
    hint: 'Check the spelling, or give the address in numbers.',
  },
  {
    codes: ['ETIMEDOUT', 'EHOSTUNREACH', 'ENETUNREACH', 'EHOSTDOWN'],
    reason: (path) => `${path} does not answer.`,
    hint: 'Check the power of the converter, its address, and the network between.',
  },
]
