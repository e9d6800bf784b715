import { type ChildProcess, type SpawnOptions, spawn } from 'node:child_process'
import { readdirSync, statSync } from 'node:fs'
import { join } from 'node:path'

const ROOT = join(import.meta.dirname, '../..')
const BUILT_FROM = ['server', 'firmware-protocol']
/** Written by each build of the server that found something to build. */
const BUILD_MARK = join(ROOT, 'dist/.tsbuildinfo')

const changedMs = (path: string) => statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0

function newestSourceMs(): number {
  const files = BUILT_FROM.flatMap((folder) =>
    readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.ts'))
      .map((file) => join(ROOT, folder, file)),
  )
  return Math.max(...files.map(changedMs))
}

let isBuilt: boolean | undefined

/**
 * Node's arguments for a program of this project: as built where the build is newer than every source, since
 * it starts four times as fast; from the sources otherwise.
 *
 * @param source Path of the program in the project, `server/main.ts` say.
 */
export function programArgs(source: string): readonly string[] {
  isBuilt ??= changedMs(BUILD_MARK) > newestSourceMs()
  if (isBuilt) return [join(ROOT, 'dist', source.replace(/\.ts$/, '.js'))]
  return ['--import', 'tsx', join(ROOT, source)]
}

const running = new Set<ChildProcess>()

/** A process that ends with this one at the latest: a test that fails leaves nothing running. */
export function runUntilEnd(
  program: string,
  args: readonly string[],
  options: SpawnOptions,
): ChildProcess {
  const child = spawn(program, args, options)
  running.add(child)
  child.once('exit', () => running.delete(child))
  return child
}

process.once('exit', () => {
  for (const child of running) child.kill('SIGKILL')
})

/** Runs a program of this project as a process of its own, in the project's folder. */
export const runProgram = (
  source: string,
  args: readonly string[],
  options: SpawnOptions,
): ChildProcess =>
  runUntilEnd(process.execPath, [...programArgs(source), ...args], { cwd: ROOT, ...options })

/** Ends a process and waits until it has ended; one that has ended already is let be. */
export async function endProcess(child: ChildProcess, signal: NodeJS.Signals): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null || child.pid === undefined) return
  const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()))
  child.kill(signal)
  await ended
}
