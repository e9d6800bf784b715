import { once } from 'node:events'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { WebSocket } from 'ws'
import type { Job, Setup } from '../../server/messages/setup.ts'
import { type Daemon, startDaemon, until } from '../support/daemon.ts'
import { makePtyPair } from '../support/pty-pair.ts'
import { busyness, quantile } from './figures.ts'
import { type Arrived, daemonDelaysMs, echoDelaysMs } from './wire-to-browser-delays.ts'
import { startEcho } from './wire-to-browser-echo.ts'
import { write } from './wire-to-browser-write.ts'

/**
 * What the daemon adds between the wire and the browser. One process writes the same samples on two real
 * pseudo-terminals; behind one is the daemon in mid-bend, behind the other nothing but `serialport`, its line
 * parser and `ws`. This process is the browser of both and notes when each sample arrives. The goal is under
 * 2 ms added at the 99th percentile.
 */
const RATES_HZ = [200, 1000]
/** The die stands still for three seconds and turns by 80° in the others. */
const RUN_S = 19

const SETUP: Setup = {
  station: 'Bench',
  die: { name: 'CLR 114.3', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'bench' },
  sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
}
const JOB: Job = {
  part: 'Bench',
  piece: 1,
  bendNumber: 1,
  operator: 'Bench',
  wantedDeg: 90,
  toleranceDeg: 1,
}

const SAMPLES = '{"type":"samples"'

const nowMs = () => Number(process.hrtime.bigint()) / 1e6

/** Notes messages and when they came; what they say is looked at when the run is over. */
async function openBrowser(url: string, origin: string) {
  const arrived: Arrived[] = []
  const socket = new WebSocket(url, { origin })
  socket.on('message', (data) => {
    const atMs = nowMs()
    arrived.push({ atMs, text: String(data) })
  })
  await once(socket, 'open')
  return { arrived, close: () => socket.close() }
}

async function tell(
  { send }: Daemon,
  method: 'PUT' | 'POST',
  path: string,
  body: object,
): Promise<void> {
  const answer = await send(method, `/api/station/${path}`, body)
  if (answer.status !== 200) throw new Error(`The daemon: ${JSON.stringify(answer.body)}`)
}

/** With a set-up, a job and a datum the daemon has a bend to watch, to keep and to call the stop of. */
async function beginBend(daemon: Daemon, hasSignal: () => boolean): Promise<void> {
  await until(async () => hasSignal(), Boolean, { seconds: 20, what: 'the first sample' })
  await sleep(1000)
  await tell(daemon, 'POST', 'act', { act: 'datum' })
}

async function runBoth(folder: string, rateHz: number) {
  const echoPort = await makePtyPair(folder, `echo-${rateHz}`)
  const port = await makePtyPair(folder, `daemon-${rateHz}`)
  const echo = await startEcho(echoPort.path)
  const daemon = await startDaemon(['--serial', port.path, '--data', join(folder, `${rateHz}`)])
  try {
    await tell(daemon, 'PUT', 'setup', SETUP)
    await tell(daemon, 'PUT', 'job', JOB)
    const bare = await openBrowser(echo.url, daemon.url)
    const live = await openBrowser(`${daemon.url.replace('http', 'ws')}/live`, daemon.url)
    const wires = [`${echoPort.path}-far-end`, `${port.path}-far-end`] as const
    const writing = write({ wires, rateHz, samples: RUN_S * rateHz })
    await beginBend(daemon, () => live.arrived.some(({ text }) => text.startsWith(SAMPLES)))
    const [echoSentMs = [], sentMs = []] = await writing
    await sleep(500)
    bare.close()
    live.close()
    return {
      bare: echoDelaysMs({ rateHz, sentMs: echoSentMs, arrived: bare.arrived }),
      ours: daemonDelaysMs({ rateHz, sentMs, arrived: live.arrived }),
    }
  } finally {
    await Promise.all([daemon.stop(), echo.stop()])
    await Promise.all([port.unplug(), echoPort.unplug()])
  }
}

/** Of each second by itself, and of those the median: a stall of the machine spoils its own second only. */
function addedInUsualSecondMs(
  bare: readonly number[],
  ours: readonly number[],
  rateHz: number,
  part: number,
): number {
  const addedMs: number[] = []
  for (let from = 0; from + rateHz <= ours.length; from += rateHz) {
    const [bareMs, oursMs] = [bare, ours].map((all) =>
      quantile(all.slice(from, from + rateHz), part),
    )
    addedMs.push((oursMs ?? Number.NaN) - (bareMs ?? Number.NaN))
  }
  return quantile(addedMs, 0.5)
}

const rowsOf = (rateHz: number, { bare, ours }: Awaited<ReturnType<typeof runBoth>>) =>
  [0.5, 0.99].map((part) => {
    const [bareMs, oursMs] = [quantile(bare, part), quantile(ours, part)]
    return {
      samples: `${ours.length} at ${rateHz} Hz`,
      part: part === 0.5 ? 'median' : `${100 * part} %`,
      'bare echo ms': bareMs.toFixed(3),
      'overbend ms': oursMs.toFixed(3),
      'added ms': (oursMs - bareMs).toFixed(3),
      'added in a usual second ms': addedInUsualSecondMs(bare, ours, rateHz, part).toFixed(3),
    }
  })

const folder = mkdtempSync(join(tmpdir(), 'overbend-wire-'))
const rows = []
try {
  for (const rateHz of RATES_HZ) rows.push(...rowsOf(rateHz, await runBoth(folder, rateHz)))
} finally {
  rmSync(folder, { recursive: true, force: true })
}
console.log(`Wire to browser, from the write on the wire to the arrival; ${busyness()}`)
console.table(rows)
