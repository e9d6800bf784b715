import type { FastifyInstance, FastifyRequest } from 'fastify'
import type { Access } from './access.ts'
import type { ErrorCode } from './errors.ts'
import { SECURITY_HEADERS } from './headers.ts'
import type { WebParts } from './parts.ts'
import { refused } from './refuse.ts'

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Answers before a device is paired. Everything that does not say so needs pairing. */
    readonly unpaired?: boolean
  }
}

const READING_METHODS = ['GET', 'HEAD', 'OPTIONS']

/**
 * A browser says which page is behind a request: by `Sec-Fetch-Site`, and by `Origin` where something
 * changes. A page of ours passes. A script outside a browser says neither, and no foreign page can make
 * it speak: it passes too. A link to a reading address may be typed or bookmarked: `none`.
 */
function isForeign({ method, headers, socket }: FastifyRequest, access: Access): boolean {
  const { origin, 'sec-fetch-site': site = 'same-origin' } = headers
  if (READING_METHODS.includes(method)) return !['same-origin', 'none'].includes(String(site))
  return site !== 'same-origin' || !(origin === undefined || access.admitsOrigin(origin, socket))
}

function breach(request: FastifyRequest, access: Access): ErrorCode | null {
  const { headers, socket, method, routeOptions } = request
  const isOpen = routeOptions.config.unpaired === true
  const isOpenRead = isOpen && READING_METHODS.includes(method)
  if (!access.admitsHost(headers.host, socket)) return 'wrong-host'
  if (!isOpenRead && isForeign(request, access)) return 'foreign-page'
  return isOpen || access.mayEnter(socket, headers.cookie) ? null : 'not-paired'
}

/** Stands before every route and before the address that does not exist; runs before the body is read. */
export function addGuard(
  app: FastifyInstance,
  { access, log }: Pick<WebParts, 'access' | 'log'>,
): void {
  app.addHook('onRequest', async (request, reply) => {
    reply.headers(SECURITY_HEADERS)
    const code = breach(request, access)
    if (code === null) return
    const { method, url, headers, ip } = request
    log('A request was turned away.', { code, method, url, host: headers.host, from: ip })
    throw refused(code)
  })
}

/** For a history that is only looked at. Stands behind the guard. */
export function refuseWrites(app: FastifyInstance): void {
  app.addHook('onRequest', async ({ method }) => {
    if (!READING_METHODS.includes(method)) throw refused('only-to-look')
  })
}
