import type { ChildProcess } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'
import { endProcess, runProgram } from './programs.ts'

export interface Daemon {
  readonly url: string
  readonly pid: number
  /** What it wrote to standard error so far. */
  errors(): string
  get<T>(path: string): Promise<T>
  send(
    method: 'POST' | 'PUT',
    path: string,
    body: unknown,
  ): Promise<{ status: number; body: unknown }>
  /** Ends it as a service manager would, and waits. */
  stop(): Promise<number | null>
  /** Ends it as a power cut would, and waits. */
  kill(): Promise<void>
}

/** Runs `overbend` as a process of its own. `env` is added to this process's own. */
export function runOverbend(
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): ChildProcess {
  const stdio = ['ignore', 'pipe', 'pipe'] as const
  return runProgram('server/main.ts', args, {
    stdio: [...stdio],
    env: { ...process.env, ...env },
  })
}

/** What a command that ends by itself came to. */
export interface Ended {
  readonly code: number | null
  readonly out: string
  readonly errors: string
}

/** Runs `overbend` to its end. */
export async function overbend(args: readonly string[]): Promise<Ended> {
  const child = runOverbend(args)
  let out = ''
  let errors = ''
  child.stdout?.on('data', (chunk) => {
    out += chunk
  })
  child.stderr?.on('data', (chunk) => {
    errors += chunk
  })
  const [code] = (await once(child, 'close')) as [number | null]
  return { code, out, errors }
}

/** A daemon that may not be ready yet, so that it can be killed at any moment. */
export interface Launched {
  /** Rejects with the daemon's own words when it ends before it is ready. */
  readonly ready: Promise<Daemon>
  kill(): Promise<void>
}

/** Starts the real daemon. */
export function launchDaemon(
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): Launched {
  const child = runOverbend(['serve', '--port', '0', ...args], env)
  let errors = ''
  child.stderr?.on('data', (chunk) => {
    errors += chunk
  })
  const ready = firstLine(child, () => errors).then((line) => daemonOf(child, line, () => errors))
  return { ready, kill: () => endProcess(child, 'SIGKILL') }
}

/** The real daemon, ready. Rejects with its own words when it ends before that. */
export const startDaemon = (
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): Promise<Daemon> => launchDaemon(args, env).ready

async function firstLine(child: ChildProcess, errors: () => string): Promise<string> {
  if (child.stdout === null) throw new Error('the daemon has no standard output')
  const first = once(createInterface({ input: child.stdout }), 'line')
  const ended = once(child, 'close').then(([code]) => {
    throw new Error(`The daemon ended with ${code}: ${errors()}`)
  })
  const [line] = (await Promise.race([first, ended])) as [string]
  ended.catch(() => undefined)
  return line
}

function daemonOf(child: ChildProcess, line: string, errors: () => string): Daemon {
  const { url, pid } = JSON.parse(line) as { url: string; pid: number }
  return {
    url,
    pid,
    errors,
    get: async <T>(path: string) => (await (await fetch(`${url}${path}`)).json()) as T,
    async send(method, path, body) {
      const response = await fetch(`${url}${path}`, {
        method,
        headers: { 'content-type': 'application/json', origin: url },
        body: JSON.stringify(body),
      })
      return { status: response.status, body: await response.json() }
    },
    async stop() {
      await endProcess(child, 'SIGTERM')
      return child.exitCode
    },
    kill: () => endProcess(child, 'SIGKILL'),
  }
}

/** Asks again until the answer is right; the last answer and why it was not is the error. */
export async function until<T>(
  ask: () => Promise<T>,
  isRight: (answer: T) => boolean,
  within: { readonly seconds: number; readonly what: string },
): Promise<T> {
  const endMs = performance.now() + within.seconds * 1000
  for (;;) {
    const answer = await ask()
    if (isRight(answer)) return answer
    if (performance.now() > endMs)
      throw new Error(
        `${within.what}: not within ${within.seconds} s, last ${JSON.stringify(answer)}`,
      )
    await new Promise((resolve) => setTimeout(resolve, 50))
  }
}
