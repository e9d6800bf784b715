import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { endProcess } from '../support/programs.ts'

const PROGRAM = join(import.meta.dirname, 'wire-to-browser-echo.child.mjs')

export interface Echo {
  readonly url: string
  readonly pid: number
  stop(): Promise<void>
}

/** The bare echo of a port, ready. */
export async function startEcho(path: string): Promise<Echo> {
  const child = spawn(process.execPath, [PROGRAM, path], { stdio: ['ignore', 'pipe', 'inherit'] })
  const { url } = JSON.parse(await firstLine(child)) as { url: string }
  return { url, pid: child.pid ?? 0, stop: () => endProcess(child, 'SIGTERM') }
}

async function firstLine(child: ChildProcess): Promise<string> {
  if (child.stdout === null) throw new Error('the echo has no standard output')
  const ended = once(child, 'close').then(([code]) => {
    throw new Error(`The echo ended with ${code}.`)
  })
  ended.catch(() => undefined)
  const [line] = await Promise.race([once(createInterface({ input: child.stdout }), 'line'), ended])
  return line as string
}
