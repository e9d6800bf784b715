import { type IncomingMessage, request } from 'node:http'
import { refuseStranger, shopLookup, unreached } from './shop-network.ts'
import { NotLetOut } from './tap.ts'

interface Receiver {
  readonly host: string
  readonly port: number
  readonly path: string
}

/** Posts JSON. @returns the status of the answer. @throws NotLetOut when there is none. */
export type Post = (to: Receiver, body: string, timeoutMs: number) => Promise<number>

/** Of an answer only the status matters: more than this of it is not read. */
const ANSWER_BYTES_MAX = 65_536

function readAway(response: IncomingMessage): void {
  let bytes = 0
  response.on('data', (chunk: Buffer) => {
    bytes += chunk.length
    if (bytes > ANSWER_BYTES_MAX) response.destroy()
  })
  // The answer was had: what breaks off after its status is nobody's trouble.
  response.on('error', () => undefined)
}

/** One connection a post; a redirect is an answer like any other, and is not followed. */
export const post: Post = ({ host, port, path }, body, timeoutMs) =>
  new Promise((resolve, reject) => {
    const refuse = (error: unknown) =>
      reject(
        signal.aborted
          ? new NotLetOut(`${host}:${port} does not answer within ${timeoutMs / 1000} s.`)
          : unreached(host, port, error),
      )
    const signal = AbortSignal.timeout(timeoutMs)
    try {
      refuseStranger(host)
    } catch (error) {
      reject(error)
      return
    }
    const headers = {
      'content-type': 'application/json',
      'content-length': Buffer.byteLength(body),
      connection: 'close',
    }
    const asked = request(
      { host, port, path, method: 'POST', agent: false, lookup: shopLookup, headers, signal },
      (response) => {
        readAway(response)
        resolve(response.statusCode ?? 0)
      },
    )
    asked.on('error', refuse)
    asked.end(body)
  })
