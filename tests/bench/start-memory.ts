import { once } from 'node:events'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { WebSocket } from 'ws'
import type { LiveMessage } from '../../server/messages/live.ts'
import { startDaemon } from '../support/daemon.ts'
import { plugInStream, RATE_HZ } from './start-board.ts'
import { startEcho } from './wire-to-browser-echo.ts'

const STREAMED_S = Number(process.env['OVERBEND_BENCH_MEMORY_S'] ?? 60)
const MANY = 20

/** Resident memory of a process in MiB. @throws Error where the system tells it otherwise than Linux. */
function residentMib(pid: number): number {
  const [, kib] = /VmRSS:\s+(\d+) kB/.exec(readFileSync(`/proc/${pid}/status`, 'latin1')) ?? []
  if (kib === undefined) throw new Error(`/proc/${pid}/status tells no resident memory.`)
  return Number(kib) / 1024
}

function samplesIn(text: string): number {
  if (text.startsWith('$PXOBS')) return 1
  if (!text.startsWith('{')) return 0
  const message = JSON.parse(text) as LiveMessage
  return message.type === 'samples' ? message.tS.length : 0
}

/** Pages that count the samples they get. */
async function openClients(url: string, origin: string, count: number) {
  const got = new Array<number>(count).fill(0)
  const sockets = got.map((_, nth) => {
    const socket = new WebSocket(url, { origin })
    socket.on('message', (data) => {
      got[nth] = (got[nth] ?? 0) + samplesIn(String(data))
    })
    return socket
  })
  await Promise.all(sockets.map((socket) => once(socket, 'open')))
  return { got, close: () => sockets.map((socket) => socket.close()) }
}

async function streamEcho(folder: string) {
  const path = join(folder, 'tty-echo-memory')
  const board = await plugInStream(path)
  const echo = await startEcho(path)
  const clients = await openClients(echo.url, echo.url, 1)
  return { what: 'bare echo, 1 client', pid: echo.pid, clients, stop: echo.stop, board }
}

async function streamDaemon(folder: string, count: number) {
  const path = join(folder, `tty-${count}-clients`)
  const board = await plugInStream(path)
  const daemon = await startDaemon(['--serial', path, '--data', join(folder, `for-${count}`)])
  const { url, pid, stop } = daemon
  const clients = await openClients(`${url.replace('http', 'ws')}/live`, url, count)
  return { what: `overbend, ${count} client${count > 1 ? 's' : ''}`, pid, clients, stop, board }
}

/** Resident memory while streaming, three processes at once: memory does not mind company. */
export async function measureMemory(folder: string): Promise<object[]> {
  const runs = [
    await streamEcho(folder),
    await streamDaemon(folder, 1),
    await streamDaemon(folder, MANY),
  ]
  const startMib = runs.map(({ pid }) => residentMib(pid))
  await sleep(1000 * STREAMED_S)
  const endMib = runs.map(({ pid }) => residentMib(pid))
  for (const { clients, stop, board } of runs) {
    clients.close()
    await stop()
    await board.close()
  }
  return runs.map(({ what, clients }, nth) => ({
    [`resident, ${RATE_HZ} Hz`]: what,
    'at the start MiB': startMib[nth]?.toFixed(1),
    [`after ${STREAMED_S} s MiB`]: endMib[nth]?.toFixed(1),
    'over the echo MiB': ((endMib[nth] ?? Number.NaN) - (endMib[0] ?? Number.NaN)).toFixed(1),
    'samples a client, fewest': Math.min(...clients.got),
  }))
}
