import { execFileSync, spawnSync } from 'node:child_process'
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterAll, expect, test } from 'vitest'

import { tables } from './support/tables.ts'

const ROOT = join(import.meta.dirname, '..')
const FILE_LINES_MAX = 400
const scratch = mkdtempSync(join(tmpdir(), 'overbend-tidy-'))
afterAll(() => rmSync(scratch, { recursive: true }))

const tracked = execFileSync(
  'git',
  ['ls-files', '-z', '--cached', '--others', '--exclude-standard'],
  {
    cwd: ROOT,
  },
)
  .toString()
  .split('\0')
  .filter(Boolean)

const read = (file: string) => readFileSync(join(ROOT, file), 'utf8')

/** A scratch tree that the gates take for the real one, with one file planted in it. */
function plant(file: string, text: string): void {
  for (const name of ['biome.json', '.gitignore', 'tsconfig.json', '.dependency-cruiser.cjs'])
    copyFileSync(join(ROOT, name), join(scratch, name))
  const path = join(scratch, file)
  mkdirSync(dirname(path), { recursive: true })
  writeFileSync(path, text)
}

function run(program: string, args: readonly string[]) {
  const { status, stdout, stderr } = spawnSync(join(ROOT, 'node_modules/.bin', program), args, {
    cwd: scratch,
    encoding: 'utf8',
  })
  return { status, output: stdout + stderr }
}

const cruise = () => run('depcruise', ['--config', '.dependency-cruiser.cjs', 'server'])

test('the import gate lets an honest file pass and catches a planted breach', () => {
  plant('server/bend/honest.ts', 'export const one = 1\n')
  expect(cruise().status).toBe(0)
  plant('server/web/somewhere.ts', 'export const two = 2\n')
  plant(
    'server/bend/breach.ts',
    "import { two } from '../web/somewhere.ts'\nexport const three = two\n",
  )
  const { status, output } = cruise()
  expect(status).not.toBe(0)
  expect(output).toContain('server/bend: only its own neighbours')
  rmSync(join(scratch, 'server/bend/breach.ts'))
})

test('the import gate catches a Node built-in and a foreign package in a pure folder', () => {
  plant('server/bend/disk.ts', "import 'node:fs'\nimport 'fastify'\n")
  const { status, output } = cruise()
  expect(status).not.toBe(0)
  expect(output).toContain('server/bend: no Node built-ins')
  expect(output).toContain('server/bend: only the packages it owns')
  rmSync(join(scratch, 'server/bend/disk.ts'))
})

test('the clock gate catches Date and setTimeout in a pure folder', () => {
  plant('server/chain/clock.ts', 'export const now = () => Date.now()\nsetTimeout(now, 1)\n')
  const { status, output } = run('biome', ['lint', 'server/chain/clock.ts'])
  expect(status).not.toBe(0)
  expect(output).toContain('noRestrictedGlobals')
})

test('the promise gate catches a promise nobody waits for', () => {
  plant(
    'server/web/drop.ts',
    'const later = async () => 1\nexport const act = () => {\n  later()\n}\n',
  )
  const { status, output } = run('biome', ['lint', 'server/web/drop.ts'])
  expect(status).not.toBe(0)
  expect(output).toContain('noFloatingPromises')
})

test(`no source file is longer than ${FILE_LINES_MAX} lines`, () => {
  const long = tracked
    .filter((file) => /\.(ts|tsx|css|c|h|cjs)$/.test(file) && !file.startsWith('tests/'))
    .map((file) => ({ file, lines: read(file).split('\n').length }))
    .filter(({ lines }) => lines > FILE_LINES_MAX)
  expect(long).toEqual([])
})

test('the top level holds what was agreed and nothing else', () => {
  const allowed = new Set([
    ...['package.json', 'package-lock.json', 'tsconfig.json', 'tsconfig.build.json', 'README.md'],
    ...[
      'DEVELOPERS.md',
      'LICENSE',
      'vite.config.ts',
      'vitest.config.ts',
      'biome.json',
      'knip.json',
    ],
    ...['firmware-protocol', 'server', 'dashboard', 'tests'],
  ])
  const names = new Set(tracked.map((file) => file.split('/')[0] ?? ''))
  expect([...names].filter((name) => !name.startsWith('.') && !allowed.has(name))).toEqual([])
})

test('every dependency has its reason in DEVELOPERS.md', () => {
  const { dependencies, devDependencies } = JSON.parse(read('package.json')) as {
    dependencies: Record<string, string>
    devDependencies: Record<string, string>
  }
  const guide = read('DEVELOPERS.md')
  const silent = Object.keys({ ...dependencies, ...devDependencies }).filter(
    (name) => !guide.includes(`| \`${name}\` |`),
  )
  expect(silent).toEqual([])
})

test('every npm script that the documents name exists', () => {
  const { scripts } = JSON.parse(read('package.json')) as { scripts: Record<string, string> }
  const named = ['README.md', 'DEVELOPERS.md'].flatMap((file) =>
    [...read(file).matchAll(/npm run (?:--silent )?([a-z:]+)/g)].map(([, name]) => name ?? ''),
  )
  expect(named.filter((name) => scripts[name] === undefined)).toEqual([])
})

test('no test is skipped, focused or left to do', () => {
  const banned = /\b(?:test|it|describe)\.(?:skip|only|todo)\(/
  const found = tracked.filter(
    (file) => file.startsWith('tests/') && file !== 'tests/tidy.test.ts' && banned.test(read(file)),
  )
  expect(found).toEqual([])
})

test.each(Object.entries(tables))(
  'the table "%s" in DEVELOPERS.md is what the code says',
  (_, table) => {
    expect(read('DEVELOPERS.md')).toContain(table)
  },
)

test('each of the twenty-four points of a reviewer names tests that are there', () => {
  const [, below = ''] = read('DEVELOPERS.md').split('### Which test holds which point\n')
  const [table = ''] = below.split('\n## ', 1)
  const rows = [...table.matchAll(/^\| (\d+) [^|]+\|([^|]+)\|$/gm)]
  expect(rows.map(([, point]) => Number(point))).toEqual(
    Array.from({ length: 24 }, (_, i) => i + 1),
  )
  for (const [, point, cell = ''] of rows) {
    const files = [...cell.matchAll(/`(tests\/[^`]+\.test\.ts)`/g)].map(([, file]) => file)
    expect(files.length, `tests of point ${point}`).toBeGreaterThan(0)
    expect(tracked, `of point ${point}`).toEqual(expect.arrayContaining(files))
  }
})
