import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { WebSocket } from 'ws'
import { startDaemon } from '../support/daemon.ts'
import { programArgs } from '../support/programs.ts'
import { quantile } from './figures.ts'
import { plugInStream } from './start-board.ts'
import { startEcho } from './wire-to-browser-echo.ts'

const ROUNDS = 7

/** Resolves when the first sample comes; greetings and states are none. */
function firstSample(url: string, origin: string, beginning: string): Promise<void> {
  const socket = new WebSocket(url, { origin })
  return new Promise((resolve, reject) => {
    socket.on('error', reject)
    socket.on('message', (data) => {
      if (!String(data).startsWith(beginning)) return
      socket.close()
      resolve()
    })
  })
}

/** From the start of a process to the first sample at a client. */
interface Start {
  readonly wallMs: number
  /** What it worked for that: unlike the time on the wall, hardly longer on a busy machine. */
  readonly cpuMs: number
}

/** Linux counts a process's work in hundredths of a second. @returns user and system time together. */
function cpuMsOf(pid: number): number {
  const afterName = readFileSync(`/proc/${pid}/stat`, 'latin1').split(') ')[1] ?? ''
  const [user, system] = afterName.split(' ').slice(11, 13).map(Number)
  return 10 * ((user ?? Number.NaN) + (system ?? Number.NaN))
}

async function startEchoOnce(path: string): Promise<Start> {
  const board = await plugInStream(path)
  const startMs = performance.now()
  const { url, pid, stop } = await startEcho(path)
  await firstSample(url, url, '$PXOBS')
  const start = { wallMs: performance.now() - startMs, cpuMs: cpuMsOf(pid) }
  await stop()
  await board.close()
  return start
}

async function startDaemonOnce(args: readonly string[]): Promise<Start> {
  const startMs = performance.now()
  const { url, pid, stop } = await startDaemon(args)
  await firstSample(`${url.replace('http', 'ws')}/live`, url, '{"type":"samples"')
  const start = { wallMs: performance.now() - startMs, cpuMs: cpuMsOf(pid) }
  await stop()
  return start
}

async function startOnPort(path: string, data: string): Promise<Start> {
  const board = await plugInStream(path)
  const start = await startDaemonOnce(['--serial', path, '--data', data])
  await board.close()
  return start
}

const median = (starts: readonly Start[], of: keyof Start) =>
  quantile(
    starts.map((start) => start[of]),
    0.5,
  )

/** Start to first sample, each way in turn, so that the machine's moods meet all of them. */
export async function measureStart(folder: string): Promise<object[]> {
  const built = programArgs('server/main.ts')[0] === '--import' ? ' (from the sources)' : ''
  const bench = ['--bench', '--data', join(folder, 'bench')]
  const echo = { what: 'bare echo', starts: [] as Start[] }
  const serial = { what: `overbend, serial port${built}`, starts: [] as Start[] }
  const builtIn = { what: `overbend, built-in bench${built}`, starts: [] as Start[] }
  for (let round = 0; round < ROUNDS; round++) {
    echo.starts.push(await startEchoOnce(join(folder, `echo-${round}`)))
    serial.starts.push(await startOnPort(join(folder, `tty-${round}`), join(folder, 'station')))
    builtIn.starts.push(await startDaemonOnce(bench))
  }
  return [echo, serial, builtIn].map(({ what, starts }) => ({
    'start to first sample': what,
    'median ms': median(starts, 'wallMs').toFixed(0),
    'longest ms': Math.max(...starts.map(({ wallMs }) => wallMs)).toFixed(0),
    'times the echo': (median(starts, 'wallMs') / median(echo.starts, 'wallMs')).toFixed(1),
    'of it work, median ms': median(starts, 'cpuMs').toFixed(0),
  }))
}
