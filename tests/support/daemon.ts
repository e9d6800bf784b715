import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { join } from 'node:path'
import { createInterface } from 'node:readline'

const ROOT = join(import.meta.dirname, '../..')

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

/** Runs `overbend` from the sources as a process of its own. */
export function runOverbend(args: readonly string[]): ChildProcess {
  return spawn(process.execPath, ['--import', 'tsx', 'server/main.ts', ...args], {
    cwd: ROOT,
    stdio: ['ignore', 'pipe', 'pipe'],
  })
}

/** The real daemon, ready. Rejects with its own words when it ends before that. */
export async function startDaemon(args: readonly string[]): Promise<Daemon> {
  const child = runOverbend(['serve', '--port', '0', ...args])
  let errors = ''
  child.stderr?.on('data', (chunk) => {
    errors += chunk
  })
  if (child.stdout === null) throw new Error('the daemon has no standard output')
  const first = once(createInterface({ input: child.stdout }), 'line')
  const ended = once(child, 'exit').then(([code]) => {
    throw new Error(`The daemon ended with ${code}: ${errors}`)
  })
  const [line] = (await Promise.race([first, ended])) as [string]
  ended.catch(() => undefined)
  const { url, pid } = JSON.parse(line) as { url: string; pid: number }
  const end = async (signal: NodeJS.Signals) => {
    if (child.exitCode !== null || child.signalCode !== null) return child.exitCode
    const exit = once(child, 'exit')
    child.kill(signal)
    await exit
    return child.exitCode
  }
  return {
    url,
    pid,
    errors: () => errors,
    get: async <T>(path: string) => (await (await fetch(`${url}${path}`)).json()) as T,
    async send(method, path, body) {
      const response = await fetch(`${url}${path}`, {
        method,
        headers: { 'content-type': 'application/json', origin: url },
        body: JSON.stringify(body),
      })
      return { status: response.status, body: await response.json() }
    },
    stop: () => end('SIGTERM'),
    kill: async () => {
      await end('SIGKILL')
    },
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
