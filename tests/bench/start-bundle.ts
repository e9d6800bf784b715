import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { brotliCompressSync, gzipSync } from 'node:zlib'

const DASHBOARD = join(import.meta.dirname, '../../dist/dashboard')

interface Size {
  readonly file: string
  readonly bytes: number
  readonly gzip: number
  readonly brotli: number
}

function sizeOf(file: string): Size {
  const content = readFileSync(join(DASHBOARD, file))
  return {
    file: file.replace(/-[\w-]{8}\./, '.'),
    bytes: content.byteLength,
    gzip: gzipSync(content, { level: 9 }).byteLength,
    brotli: brotliCompressSync(content).byteLength,
  }
}

/** What a browser loads before the first page stands: the document, all that it names, and the face. */
export function measureBundle(): readonly Size[] {
  const page = readFileSync(join(DASHBOARD, 'index.html'), 'utf8')
  const named = [...page.matchAll(/(?:src|href)="\/([^"]+)"/g)].map(([, file]) => file ?? '')
  const faces = readdirSync(join(DASHBOARD, 'assets')).filter((file) => file.endsWith('.woff2'))
  const sizes = ['index.html', ...named, ...faces.map((file) => `assets/${file}`)].map(sizeOf)
  const sum = (of: (size: Size) => number) => sizes.reduce((total, size) => total + of(size), 0)
  const whole = {
    file: 'all of the first load',
    bytes: sum(({ bytes }) => bytes),
    gzip: sum(({ gzip }) => gzip),
    brotli: sum(({ brotli }) => brotli),
  }
  return [...sizes, whole]
}
