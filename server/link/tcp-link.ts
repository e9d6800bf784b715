import { connect, type Socket } from 'node:net'
import type { Clock, Link } from './link.ts'
import { tcpWords } from './port-words.ts'
import { SerialLink } from './serial-link.ts'
import type { OpenPort, PortStream } from './serial-port.ts'

export interface TcpLinkOptions {
  readonly host: string
  readonly port: number
  readonly clock: Clock
  readonly isMute?: boolean
  /** From 0 up to 1, for the jitter of the waits. */
  readonly chance?: () => number
}

/** A switched-off converter answers nothing at all; the system would wait for two minutes. */
const CONNECT_TIMEOUT_MS = 5000
/** A quiet connection is asked for a sign of life after this; ten unanswered ones a second apart end it. */
const KEEP_ALIVE_MS = 5000

/**
 * Lines through a serial-over-network converter that passes bytes on as they are. Its socket is a port like any
 * other: bounded lines, judged by what arrives, opened again with growing pauses, and after a silence too.
 */
export const makeTcpLink = ({ host, port, ...options }: TcpLinkOptions): Link =>
  new SerialLink({
    ...options,
    path: host.includes(':') ? `[${host}]:${port}` : `${host}:${port}`,
    baudRate: 0,
    words: tcpWords,
    openPort: openSocket(host, port),
    listPorts: async () => [],
  })

const openSocket =
  (host: string, port: number): OpenPort =>
  () =>
    new Promise((resolve, reject) => {
      const socket = connect({ host, port, noDelay: true })
      const fail = (error: Error) => {
        socket.destroy()
        reject(error)
      }
      const tooLate = () => fail(Object.assign(new Error('no answer'), { code: 'ETIMEDOUT' }))
      socket.setTimeout(CONNECT_TIMEOUT_MS, tooLate)
      socket.once('error', fail)
      socket.once('connect', () => {
        socket.setTimeout(0)
        socket.off('timeout', tooLate)
        socket.off('error', fail)
        socket.setKeepAlive(true, KEEP_ALIVE_MS)
        resolve(asPort(socket))
      })
    })

/** A socket that is closed as a port is: at once, with nobody left waiting on the other side. */
const asPort = (socket: Socket): PortStream =>
  Object.defineProperties(socket, {
    isOpen: { get: () => !socket.destroyed },
    close: {
      value: (done?: (error: null) => void) => {
        socket.once('close', () => done?.(null))
        socket.destroy()
      },
    },
  }) as Socket & PortStream
