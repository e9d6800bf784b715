import { spawnSync } from 'node:child_process'
import { join } from 'node:path'

// All benchmarks, one after the other, since two at a time would measure each other. Words after the command
// choose some by name: `npm run bench -- wire history`.

const ROOT = join(import.meta.dirname, '../..')

/** A sample's way first, then what is computed from it, then what is kept. */
const FILES = [
  'chain.bench.ts',
  'chain-allocation.ts',
  'chain-length.ts',
  'live.bench.ts',
  'wire-to-browser.ts',
  'eight-stations.ts',
  'start.ts',
  'count-rate.ts',
  'firmware-latency.ts',
  'springback.bench.ts',
  'springback-shops.ts',
  'bend-watch-figures.ts',
  'history.bench.ts',
  'export-memory.ts',
] as const
/** Of 10,000, which take minutes: OVERBEND_BENCH_TRACES=10000. */
const TRACES = process.env['OVERBEND_BENCH_TRACES'] ?? '500'
const WORDS: Readonly<Record<string, readonly string[]>> = { 'bend-watch-figures.ts': [TRACES] }

/** A `.bench.ts` is Vitest's; any other is a program that prints its own table. */
const argsFor = (file: string): readonly string[] =>
  file.endsWith('.bench.ts')
    ? ['node_modules/vitest/vitest.mjs', 'bench', '--run', '--project', 'bench', `/${file}`]
    : ['--import', 'tsx', `tests/bench/${file}`, ...(WORDS[file] ?? [])]

function run(file: string): boolean {
  console.log(`\n— ${file}`)
  const startMs = performance.now()
  const { status } = spawnSync(process.execPath, argsFor(file), { cwd: ROOT, stdio: 'inherit' })
  console.log(`— ${file}: ${((performance.now() - startMs) / 1000).toFixed(0)} s`)
  return status === 0
}

const chosen = process.argv.slice(2)
const files = FILES.filter((file) => chosen.length === 0 || chosen.some((w) => file.includes(w)))
if (files.length === 0)
  console.error(`No benchmark is called ${chosen.join(' ')}: ${FILES.join(', ')}.`)
const failed = files.filter((file) => !run(file))
if (failed.length > 0) console.error(`\nFailed: ${failed.join(', ')}.`)
process.exitCode = failed.length > 0 || files.length === 0 ? 1 : 0
