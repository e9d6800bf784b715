import type { FastifyInstance } from 'fastify'
import type { LeavingFormat } from '../messages/exports.ts'
import { BendFilter } from '../messages/find.ts'
import type { WebParts } from './parts.ts'

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Bends leave here as a file, and that is entered in a log; `asked`: as the query's `format` says, or csv. */
    readonly leaves?: LeavingFormat | 'asked'
  }
}

const CONDITIONS = Object.keys(BendFilter.properties)

/** What of a checked query says which bends are meant. */
const filterIn = (query: object): BendFilter =>
  Object.fromEntries(Object.entries(query).filter(([name]) => CONDITIONS.includes(name)))

/** Enters each file of bends that leaves, once it is certain that it does. */
export function addExportNotes(app: FastifyInstance, left: NonNullable<WebParts['left']>): void {
  app.addHook('onSend', async ({ routeOptions, query, person, ip }, { statusCode }) => {
    const { leaves } = routeOptions.config
    if (leaves === undefined || statusCode !== 200) return
    const { format = 'csv' } = query as { format?: LeavingFormat }
    const told = { who: person?.name ?? null, device: ip }
    left({
      ...told,
      format: leaves === 'asked' ? format : leaves,
      filter: filterIn(query as object),
    })
  })
}
