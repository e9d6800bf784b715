import { STATUS_CODES } from 'node:http'
import type { Duplex } from 'node:stream'
import type { ErrorCode } from './errors.ts'
import { SECURITY_HEADERS } from './headers.ts'
import { type Answer, answerFor, refused } from './refuse.ts'

/** The refusal as a whole HTTP answer, for sockets that have left Fastify's hands. */
function asHttp({ status, body }: Answer): string {
  const text = JSON.stringify(body)
  const headers = {
    ...SECURITY_HEADERS,
    'content-type': 'application/json; charset=utf-8',
    'content-length': Buffer.byteLength(text),
    connection: 'close',
  }
  const lines = Object.entries(headers).map(([name, value]) => `${name}: ${value}`)
  return `${[`HTTP/1.1 ${status} ${STATUS_CODES[status]}`, ...lines].join('\r\n')}\r\n\r\n${text}`
}

export function refuseSocket(socket: Duplex, error: unknown): void {
  socket.on('error', () => socket.destroy())
  if (socket.writable) socket.end(asHttp(answerFor(error)), () => socket.destroy())
  else socket.destroy()
}

export const refuseUpgrade = (socket: Duplex, code: ErrorCode, what: string | number): void =>
  refuseSocket(socket, refused(code, what))
