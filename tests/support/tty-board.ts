import type { ChildProcess } from 'node:child_process'
import { writeFileSync } from 'node:fs'
import type { Socket } from 'node:net'
import { createInterface } from 'node:readline'
import { endProcess, runProgram } from './programs.ts'
import { makeTty } from './tty.ts'

export interface TtyBoard {
  readonly path: string
  /** Pulls the cable of a board that lives off it: the port is gone, and so is its power. */
  unplug(): Promise<void>
  /** Cuts the wire of a board that has a supply of its own: it goes on counting. */
  cut(): Promise<void>
  /** Joins the wire again, under the same name or another. */
  mend(path?: string): Promise<void>
}

export interface TtyBoardOptions {
  /** Where the port appears; its folder must exist. */
  readonly path: string
  readonly script: unknown
  readonly scriptFile: string
  readonly board?: string
  readonly sensor?: 'incremental' | 'absolute'
  readonly seed?: number
  /** More words for the board's command line: its mount, say. */
  readonly more?: readonly string[]
  /** Told of each output that goes on or off at the board. */
  readonly onOutput?: (change: { output: string; on: boolean }) => void
}

/** A board's own buffer: what the wire does not take is lost. */
const WAITING_BYTES_MAX = 4096

/** A virtual board behind a real pseudo-terminal. Its script begins when the port is first opened. */
export async function plugIn(options: TtyBoardOptions): Promise<TtyBoard> {
  const { path, script, scriptFile } = options
  const { board = 'BENCH-0001', sensor = 'incremental', seed = 1, more = [], onOutput } = options
  writeFileSync(scriptFile, JSON.stringify(script))
  const args = [
    '--script',
    scriptFile,
    '--board',
    board,
    '--sensor',
    sensor,
    '--seed',
    `${seed}`,
    ...more,
  ]
  if (onOutput) args.push('--tell-outputs')
  let host: ChildProcess | null = null
  let wire: Socket | null = null

  function switchOn(): void {
    host = runProgram('firmware-protocol/bench/board-host.ts', args, {
      stdio: ['pipe', 'pipe', onOutput ? 'pipe' : 'inherit'],
    })
    if (onOutput && host.stderr)
      createInterface({ input: host.stderr }).on('line', (line) => onOutput(JSON.parse(line)))
    host.stdout?.on('data', (chunk) => {
      if (wire !== null && wire.writableLength <= WAITING_BYTES_MAX) wire.write(chunk)
    })
    host.stdin?.on('error', () => undefined)
  }

  const tty = await makeTty(path, (opened) => {
    wire = opened
    opened.on('data', (chunk) => host?.stdin?.write(chunk))
    opened.on('close', () => {
      if (wire === opened) wire = null
    })
    if (host === null) switchOn()
  })
  return {
    path,
    cut: tty.unplug,
    mend: (name = path) => tty.plug(name),
    async unplug() {
      await tty.close()
      if (host !== null) await endProcess(host, 'SIGTERM')
    },
  }
}
