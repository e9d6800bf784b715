import type { FastifyInstance, FastifyRequest } from 'fastify'
import type { KnownBy } from '../messages/act-kinds/act-kind.ts'
import { type Person, ROLES, type Role } from '../messages/people.ts'
import { refused } from './refuse.ts'
import type { PeopleDoor } from './station-door.ts'
import { type BodyShape, withTypedNames } from './typed-names.ts'

/**
 * Who may use a route once people are enrolled. `watch` and `bend`: every device that may enter, a paired wall screen
 * too; else whoever is signed in with that role or one that may more.
 */
type May = 'watch' | 'bend' | Role

interface RouteMay {
  readonly method: string
  readonly url: string
  readonly may: May
  /** It says so itself. */
  readonly isSaid: boolean
}

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Left out: `watch` for what only reads; `administrator` for all else, so that what was forgotten stays shut. */
    readonly may?: May
  }
  interface FastifyInstance {
    /** Every route of the API, with who may use it. */
    readonly mays: readonly RouteMay[]
  }
  interface FastifyRequest {
    /** Whoever is signed in; null: nobody, or an open shop. */
    person: Person | null
  }
}

const READING_METHODS = ['GET', 'HEAD', 'OPTIONS']

const mayOf = (method: string, may: May | undefined): May =>
  may ?? (READING_METHODS.includes(method) ? 'watch' : 'administrator')

const mayAsMuch = (person: Person, role: Role) => ROLES.indexOf(person.role) >= ROLES.indexOf(role)

/** @throws Refused `not-signed-in`, `not-your-role` */
export function demandRole(people: PeopleDoor, person: Person | null, role: Role): void {
  if (!people.areEnrolled()) return
  if (person === null) throw refused('not-signed-in')
  if (!mayAsMuch(person, role)) throw refused('not-your-role', role)
}

/** How it is known who acts in this request. */
export const knownBy = ({ person }: FastifyRequest): KnownBy =>
  person === null ? 'typed' : 'signed-in'

const shapeOf = ({ routeOptions }: FastifyRequest) =>
  (routeOptions.schema as { readonly body?: BodyShape } | undefined)?.body

/**
 * Stands behind the guard: whoever is signed in, what that lets them do, and their name in what they enter.
 * `mayAllRead`: whoever has the file in hand reads all of it.
 */
export function addRoles(
  app: FastifyInstance,
  people: PeopleDoor,
  { mayAllRead = false }: { readonly mayAllRead?: boolean } = {},
): void {
  const mays: RouteMay[] = []
  app.decorate('mays', mays)
  app.addHook('onRoute', ({ method, url, config }) => {
    if (!url.startsWith('/api/')) return
    for (const one of [method].flat())
      mays.push({
        method: one,
        url,
        may: mayOf(one, config?.may),
        isSaid: config?.may !== undefined,
      })
  })
  app.decorateRequest('person', null)
  app.addHook('onRequest', async (request) => {
    const { method, headers, routeOptions } = request
    request.person = people.whoIs(headers.cookie)
    if (mayAllRead && method === 'GET') return
    const may = mayOf(method, routeOptions.config.may)
    if (may !== 'watch' && may !== 'bend' && routeOptions.url !== undefined)
      demandRole(people, request.person, may)
  })
  app.addHook('preValidation', async (request) => {
    const { person, body } = request
    if (typeof body !== 'object' || body === null || Array.isArray(body)) return
    const shape = shapeOf(request)
    const takesWho = Object.hasOwn(shape?.properties ?? {}, 'who')
    // Typed or not: who is signed in is who acts.
    const { who: _, ...rest } = body as { who?: unknown }
    const isKnown = person !== null && takesWho
    const typed = withTypedNames(isKnown ? rest : body, shape)
    request.body = isKnown ? { ...typed, who: person.name } : typed
  })
}
