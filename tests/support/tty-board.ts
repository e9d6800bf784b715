import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { existsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { until } from './daemon.ts'

const ROOT = join(import.meta.dirname, '../..')
const BOARD_HOST = join(ROOT, 'firmware-protocol/bench/board-host.ts')

export interface TtyBoard {
  readonly path: string
  /** Pulls the cable: the port is gone. */
  unplug(): Promise<void>
}

export interface TtyBoardOptions {
  /** Where the port appears; its folder must exist. */
  readonly path: string
  readonly script: unknown
  readonly scriptFile: string
  readonly board?: string
  readonly speed?: number
  readonly seed?: number
}

/** A virtual board behind a real pseudo-terminal. */
export async function plugIn(options: TtyBoardOptions): Promise<TtyBoard> {
  const { path, script, scriptFile, board = 'BENCH-0001', speed = 1, seed = 1 } = options
  writeFileSync(scriptFile, JSON.stringify(script))
  const command = [
    process.execPath,
    ...['--import', 'tsx', BOARD_HOST, '--script', scriptFile, '--board', board],
    ...['--speed', String(speed), '--seed', String(seed)],
  ].join(' ')
  const child: ChildProcess = spawn(
    'socat',
    [`PTY,link=${path},raw,echo=0,wait-slave`, `EXEC:${command}`],
    { cwd: ROOT, stdio: 'ignore' },
  )
  await until(
    async () => existsSync(path),
    (isThere) => isThere,
    { seconds: 20, what: `a pseudo-terminal at ${path}` },
  )
  return {
    path,
    async unplug() {
      if (child.exitCode !== null || child.signalCode !== null) return
      const exit = once(child, 'exit')
      child.kill('SIGTERM')
      await exit
    },
  }
}
