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
 * A browser always names the page behind a request that changes something; a page of ours passes.
 * A script outside a browser names none, and no foreign page can make it speak: it passes too.
 */
function isForeign(request: FastifyRequest, access: Access): boolean {
  const { origin, 'sec-fetch-site': site } = request.headers
  const isForeignSite = site !== undefined && site !== 'same-origin'
  return isForeignSite || (origin !== undefined && !access.admitsOrigin(origin, request.socket))
}

function breach(request: FastifyRequest, access: Access): ErrorCode | null {
  const { headers, socket, method, routeOptions } = request
  if (!access.admitsHost(headers.host, socket)) return 'wrong-host'
  if (!READING_METHODS.includes(method) && isForeign(request, access)) return 'foreign-page'
  const isOpen = routeOptions.config.unpaired === true
  if (!isOpen && !access.mayEnter(socket, headers.cookie)) return 'not-paired'
  return null
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
