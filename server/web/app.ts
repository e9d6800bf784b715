import type { TypeBoxTypeProvider } from '@fastify/type-provider-typebox'
import Fastify, { type FastifyError, type FastifyReply, type FastifyRequest } from 'fastify'
import type { Log } from './clock.ts'
import { addDocument } from './document.ts'
import { addExportNotes } from './export-notes.ts'
import { addGuard, refuseWrites } from './guard.ts'
import { SECURITY_HEADERS } from './headers.ts'
import { addLive } from './live.ts'
import { addPages } from './pages.ts'
import type { Resource, StationSeat, WebParts } from './parts.ts'
import { answerFor, refused } from './refuse.ts'
import { refuseSocket } from './refuse-upgrade.ts'
import { acts } from './resources/acts.ts'
import { archives } from './resources/archives.ts'
import { axes } from './resources/axes.ts'
import { bench } from './resources/bench.ts'
import { chartedBends } from './resources/bend-charts.ts'
import { bends } from './resources/bends.ts'
import { calibrations } from './resources/calibrations.ts'
import { certificate } from './resources/certificate.ts'
import { chain } from './resources/chain.ts'
import { chainDrafts } from './resources/chain-drafts.ts'
import { checks } from './resources/checks.ts'
import { document } from './resources/document.ts'
import { exports } from './resources/exports.ts'
import { exportsLogged } from './resources/exports-logged.ts'
import { foundBends } from './resources/found-bends.ts'
import { health } from './resources/health.ts'
import { liveStream } from './resources/live.ts'
import { materials } from './resources/materials.ts'
import { notebook } from './resources/notebook.ts'
import { output } from './resources/output.ts'
import { pairing } from './resources/pairing.ts'
import { people } from './resources/people.ts'
import { photos } from './resources/photos.ts'
import { piece } from './resources/piece.ts'
import { readout } from './resources/readout.ts'
import { referencePieces } from './resources/reference-pieces.ts'
import { session } from './resources/session.ts'
import { springback } from './resources/springback.ts'
import { station } from './resources/station.ts'
import { stations } from './resources/stations.ts'
import { verify } from './resources/verify.ts'
import { views } from './resources/views.ts'
import { wire } from './resources/wire.ts'
import { addRoles } from './roles.ts'
import { addSeats, demandSeat, onlySeat } from './seats.ts'
import { compileValidator } from './validate.ts'

/** The longest body asked for here, a set-up, is under 1 KiB. */
const BODY_MAX_BYTES = 64 * 1024
/** Time for a whole request to arrive: generous on a poor radio link, short for a socket held open. */
const REQUEST_MAX_MS = 15_000
/** Every live page of a full house, and as many requests besides. */
const CONNECTIONS_MAX = 512

interface AppOptions extends Omit<WebParts, 'log' | 'seats'> {
  /** All benders, where there are several: `station` and `wire` are those of the first. */
  readonly seats?: readonly StationSeat[]
  /** Where the built dashboard is; null for a daemon without one. */
  readonly dashboardDir: string | null
  readonly log?: Log
  /** The history is only looked at: whatever is more than reading is refused. */
  readonly isToLook?: boolean
}

/** Of one bender each, in the order of the OpenAPI document. */
const OF_A_STATION: readonly Resource[] = [
  station,
  bench,
  output,
  readout,
  calibrations,
  axes,
  referencePieces,
  checks,
  wire,
  chain,
  chainDrafts,
  springback,
]

/** Of the daemon. */
const RESOURCES: readonly Resource[] = [
  stations,
  materials,
  foundBends,
  views,
  chartedBends,
  exports,
  exportsLogged,
  bends,
  acts,
  piece,
  photos,
  notebook,
  certificate,
  archives,
  verify,
  session,
  people,
  health,
  pairing,
  document,
]

const silence: Log = () => undefined

/** Every failure, of ours or not, leaves as the one envelope; what is not for callers is logged. */
const makeAnswerer =
  (log: Log) => (error: unknown, request: FastifyRequest, reply: FastifyReply) => {
    const { method, url } = request
    const isTooLarge = (error as FastifyError).code === 'FST_ERR_CTP_BODY_TOO_LARGE'
    const most = request.routeOptions?.bodyLimit ?? BODY_MAX_BYTES
    const { status, body } = answerFor(error, isTooLarge ? most : url)
    if (status === 500 && !isLeft(error, request))
      log('A request failed.', { method, url, error: stackOf(error) })
    reply.code(status).headers(SECURITY_HEADERS).send(body)
  }

/** Whoever asked is gone, so that there was nobody to work for. */
const isLeft = (error: unknown, { raw }: FastifyRequest) =>
  error instanceof Error && error.name === 'AbortError' && raw.destroyed

const stackOf = (error: unknown) => (error instanceof Error ? error.stack : String(error))

function makeFastify(answer: ReturnType<typeof makeAnswerer>) {
  return Fastify({
    logger: false,
    trustProxy: false,
    bodyLimit: BODY_MAX_BYTES,
    requestTimeout: REQUEST_MAX_MS,
    exposeHeadRoutes: false,
    // What arrives while closing is still answered: nothing it needs is closed before the web is.
    return503OnClosing: false,
    // A request without Host meets our own answer instead of Node's empty one.
    http: { requireHostHeader: false },
    frameworkErrors: answer,
    clientErrorHandler: (error, socket) => refuseSocket(socket, error),
  }).withTypeProvider<TypeBoxTypeProvider>()
}

/**
 * The web of one station or several: built, not listening. `listen.ts` listens; a test calls `inject()`.
 * Adding a resource touches its file, its test and one line here.
 */
export function buildApp({ dashboardDir, log = silence, isToLook, ...rest }: AppOptions) {
  const seats = rest.seats ?? [onlySeat(rest)]
  const parts: WebParts = { ...rest, seats, log }
  const answer = makeAnswerer(log)
  const app = makeFastify(answer)
  app.server.maxConnections = CONNECTIONS_MAX
  // A form on a foreign page can send plain text unasked; JSON it cannot.
  app.removeContentTypeParser('text/plain')
  app.setValidatorCompiler(compileValidator)
  app.setErrorHandler(answer)
  app.setNotFoundHandler(({ url }) => {
    demandSeat(seats, url)
    throw refused('no-such-address', url)
  })
  addGuard(app, parts)
  if (isToLook) refuseWrites(app)
  if (parts.left !== undefined) addExportNotes(app, parts.left)
  addRoles(app, parts.people, { mayAllRead: isToLook ?? false })
  addDocument(app, parts.software)
  addPages(app, dashboardDir)
  app.register(liveStream, parts)
  for (const resource of [...OF_A_STATION, ...RESOURCES])
    app.register(resource, { ...parts, prefix: '/api' })
  addSeats(app, OF_A_STATION, parts)
  const live = addLive(app.server, parts)
  app.addHook('preClose', async () => live.close())
  return app
}
