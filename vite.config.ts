import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { brotliCompressSync, gzipSync } from 'node:zlib'
import { defineConfig, type Plugin } from 'vite'

const DAEMON = 'http://127.0.0.1:8737'
/** The daemon answers only pages of its own address. */
const asOwnPage = { changeOrigin: true, headers: { origin: DAEMON } }

/** Compressed copies beside the files, so that the daemon spends nothing on it: see server/web/pages.ts. */
function compressedCopies(): Plugin {
  return {
    name: 'compressed-copies',
    apply: 'build',
    writeBundle({ dir = '' }) {
      const files = readdirSync(dir, { recursive: true, encoding: 'utf8' })
      for (const file of files.filter((name) => /\.(?:js|css|html|svg)$/.test(name))) {
        const path = join(dir, file)
        const bytes = readFileSync(path)
        writeFileSync(`${path}.br`, brotliCompressSync(bytes))
        writeFileSync(`${path}.gz`, gzipSync(bytes, { level: 9 }))
      }
    },
  }
}

export default defineConfig({
  root: 'dashboard',
  plugins: [compressedCopies()],
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    ...{ outDir: '../dist/dashboard', emptyOutDir: true, target: 'es2022' },
    // The layout of the Chain page is one large chunk, fetched when that page is first opened.
    chunkSizeWarningLimit: 2000,
    rolldownOptions: { checks: { pluginTimings: false } },
  },
  server: {
    proxy: {
      '/api': { target: DAEMON, ...asOwnPage },
      '/live': { target: DAEMON, ws: true, ...asOwnPage },
    },
  },
})
