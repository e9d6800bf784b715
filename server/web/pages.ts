import { existsSync } from 'node:fs'
import { join, resolve } from 'node:path'
import fastifyStatic from '@fastify/static'
import type { FastifyInstance, FastifyPluginAsync } from 'fastify'
import { refused } from './refuse.ts'

/** The builder writes a hash of the content into these names, so they never change. */
const HASHED = /[\\/]assets[\\/]/
const A_YEAR = 'public, max-age=31536000, immutable'

const cachingOf = (path: string) => (HASHED.test(path) ? A_YEAR : 'no-cache')

/** A checkout that was never built has no page; its API answers all the same. */
const isBuilt = (folder: string) => existsSync(join(folder, 'index.html'))

const servePages: FastifyPluginAsync<{ folder: string }> = async (app, { folder }) => {
  app.addHook('onRoute', (route) => {
    route.schema = { ...route.schema, hide: true }
    route.config = { ...route.config, unpaired: true }
  })
  await app.register(fastifyStatic, {
    root: resolve(folder),
    dotfiles: 'ignore',
    cacheControl: false,
    // The build puts .br and .gz copies beside the files: see vite.config.ts.
    preCompressed: true,
    setHeaders: (reply, path) => void reply.header('cache-control', cachingOf(path)),
  })
}

/** The built dashboard, at `/`. It answers unpaired: it holds no data, and the pairing form is in it. */
export function addPages(app: FastifyInstance, folder: string | null): void {
  if (folder !== null && isBuilt(folder)) {
    app.register(servePages, { folder })
    return
  }
  app.get('/', { schema: { hide: true }, config: { unpaired: true } }, () => {
    throw refused('no-dashboard')
  })
}
