import { hostname } from 'node:os'

/** Where a request came in: what the socket itself knows, which no header can forge. */
export interface Doorway {
  /** Undefined for an injected request, which has no socket: it came to the default port. */
  readonly localPort?: number | undefined
  readonly localAddress?: string | undefined
  readonly remoteAddress?: string | undefined
}

const LOOPBACK_NAMES = ['localhost', '127.0.0.1', '[::1]']
const WILDCARDS = ['0.0.0.0', '::']
const HTTP_PORT = 80

/** `::ffff:192.0.2.1` is how a dual-stack socket writes 192.0.2.1 (RFC 4291, section 2.5.5.2). */
const plain = (address: string) => address.toLowerCase().replace(/^::ffff:(?=\d+\.)/, '')
const asHost = (address: string) => (address.includes(':') ? `[${address}]` : address)

export const isLoopback = (address: string): boolean =>
  /^127\.\d+\.\d+\.\d+$/.test(plain(address)) || ['::1', 'localhost'].includes(plain(address))

export const urlHost = (host: string): string =>
  asHost(WILDCARDS.includes(host) ? 'localhost' : plain(host))

/** Which names in a Host or Origin header are ours. */
export interface HostNames {
  admitsHost(header: string | undefined, door: Doorway): boolean
  admitsOrigin(header: string | undefined, door: Doorway): boolean
}

/**
 * The allow list against DNS rebinding: a page of a foreign name that resolves to this machine still
 * sends the foreign name. An address cannot be rebound, so on a wildcard bind the very address that
 * the request came in at is a name of ours too.
 */
export function makeHostNames(boundHost: string): HostNames {
  const isWildcard = WILDCARDS.includes(boundHost)
  const machine = hostname().toLowerCase()
  const own = isWildcard ? [machine, `${machine}.local`] : [asHost(plain(boundHost))]
  const names = new Set([...LOOPBACK_NAMES, ...own])

  function admitsHost(header: string | undefined, door: Doorway): boolean {
    const parts = /^(\[[0-9a-f:.]+\]|[a-z0-9._-]+)(?::(\d{1,5}))?$/.exec(
      header?.toLowerCase() ?? '',
    )
    const name = parts?.[1]
    if (name === undefined) return false
    const port = Number(parts?.[2] ?? HTTP_PORT)
    if (port !== (door.localPort ?? HTTP_PORT)) return false
    const isOwnAddress = isWildcard && name === asHost(plain(door.localAddress ?? ''))
    return names.has(name) || isOwnAddress
  }

  return {
    admitsHost,
    admitsOrigin: (header, door) =>
      header?.startsWith('http://') === true && admitsHost(header.slice('http://'.length), door),
  }
}
