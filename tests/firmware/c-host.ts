import { execFile, spawnSync } from 'node:child_process'
import { mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'

const run = promisify(execFile)
const LIBRARY = join(import.meta.dirname, '../../firmware-protocol/library')
const HOSTS = join(import.meta.dirname, 'host')
/** A fault of memory or arithmetic ends the program, and so fails its test. */
const SANITIZED = ['-fsanitize=address,undefined', '-fno-sanitize-recover=all']
const WARNINGS = ['-Wall', '-Wextra', '-Wshadow', '-Werror', '-pedantic']

const place = mkdtempSync(join(tmpdir(), 'overbend-c-'))
process.once('exit', () => rmSync(place, { recursive: true, force: true }))

/** Builds a program of `host/` with the C library, for this machine. @returns Its path. */
export async function buildHost(name: string): Promise<string> {
  const program = join(place, name)
  const library = readdirSync(LIBRARY)
    .filter((file) => file.endsWith('.c'))
    .map((file) => join(LIBRARY, file))
  const flags = ['-std=c99', '-O2', '-g', ...WARNINGS, ...SANITIZED, '-o', program]
  await run('gcc', [...flags, join(HOSTS, `${name}.c`), ...library])
  return program
}

/**
 * Runs a program over lines and gives the lines it answers with, one each.
 * @throws Its words when it fails, as it does at any fault of memory or arithmetic.
 */
export function answersOf(program: string, args: readonly string[], lines: readonly string[]) {
  const input = lines.map((line) => `${line}\n`).join('')
  const { status, stdout, stderr } = spawnSync(program, args, {
    input,
    encoding: 'latin1',
    maxBuffer: 2 ** 30,
  })
  if (status !== 0) throw new Error(`${program} ended with ${status}: ${stdout}${stderr}`)
  const answers = stdout.split('\n')
  answers.pop()
  return answers
}
