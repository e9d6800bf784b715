import type { FastifyInstance } from 'fastify'
import type { Resource, StationSeat, WebParts } from './parts.ts'
import { refused } from './refuse.ts'

/** Of the bender that is alone in its daemon. */
const ONLY_KEY = 'bender'

const PREFIX = '/api/stations/'

/** The bender that the short addresses mean, where no others are named. */
export const onlySeat = ({ station, wire }: Pick<WebParts, 'station' | 'wire'>): StationSeat => ({
  key: ONLY_KEY,
  station,
  wire,
})

/**
 * Every bender under an address of its own. The document lists each resource once, under its short address, which
 * means the first bender: sixteen times the same would hide it.
 */
export function addSeats(app: FastifyInstance, resources: readonly Resource[], parts: WebParts) {
  for (const { key, station, wire } of parts.seats)
    app.register((own, _, done) => {
      own.addHook('onRoute', (route) => {
        route.schema = { ...route.schema, hide: true }
      })
      for (const resource of resources)
        own.register(resource, { ...parts, station, wire, prefix: `${PREFIX}${key}` })
      done()
    })
}

/** The bender of a key; without one, the first. Null where there is none of that key. */
export const seatFor = (seats: readonly StationSeat[], key: string | null): StationSeat | null =>
  (key === null ? seats[0] : seats.find((one) => one.key === key)) ?? null

/** @throws Refused `no-such-station` for the address of a bender that is not here. */
export function demandSeat(seats: readonly StationSeat[], url: string): void {
  if (!url.startsWith(PREFIX)) return
  const [key = ''] = url.slice(PREFIX.length).split(/[/?]/, 1)
  if (key !== '' && seatFor(seats, key) === null) throw refused('no-such-station', key)
}
