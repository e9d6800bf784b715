import { once } from 'node:events'
import { readFileSync } from 'node:fs'
import { get, type IncomingMessage } from 'node:http'
import { join } from 'node:path'
import type { Readable } from 'node:stream'
import { setTimeout as wait } from 'node:timers/promises'
import { makeSigningKey } from '../../server/history/key.ts'
import { runOverbend, startDaemon } from '../support/daemon.ts'
import { busyness } from './figures.ts'
import { makeLongHistory } from './history-long.ts'

/**
 * Memory of an export, of few bends and of many: what the system counts as the most that ever was resident, so that
 * their ratio tells whether it grows with the bends.
 */
const FEW = 10_000
const MANY = Number(process.env['OVERBEND_BENCH_BENDS'] ?? 100_000)
/** A daemon reads all bends before it is ready, which is another figure. */
const MANY_IN_DAEMON = Math.min(MANY, 100_000)
const SLOW_EVERY_BYTES = 4_000_000
const SLOW_MS = 20

function mostResidentMib(pid: number): number {
  const [, kib] = /VmHWM:\s+(\d+) kB/.exec(readFileSync(`/proc/${pid}/status`, 'latin1')) ?? []
  if (kib === undefined) throw new Error(`/proc/${pid}/status tells no resident memory.`)
  return Number(kib) / 1024
}

interface Taken {
  readonly bytes: number
  readonly mostMib: number
}

/** Takes all of it, standing still for a moment after each few megabytes, as a slow disk would. */
async function take(stream: Readable, pid: number): Promise<Taken> {
  let [bytes, pausedAt, mostMib] = [0, 0, 0]
  for await (const chunk of stream) {
    bytes += (chunk as Buffer).length
    if (bytes - pausedAt < SLOW_EVERY_BYTES) continue
    pausedAt = bytes
    mostMib = mostResidentMib(pid)
    await wait(SLOW_MS)
  }
  return { bytes, mostMib }
}

async function byCommand(dataDir: string, format: string): Promise<Taken> {
  const child = runOverbend(['export', '--data', dataDir, '--format', format])
  const { stdout, pid } = child
  if (stdout === null || pid === undefined) throw new Error('The command did not start.')
  const closed = once(child, 'close')
  const taken = await take(stdout, pid)
  const [code] = (await closed) as [number | null]
  if (code !== 0) throw new Error(`overbend export ended with ${code}.`)
  return taken
}

/** While the daemon hands it out somebody asks for its state again and again: how long that waits at the most. */
async function byDaemon(dataDir: string, format: string) {
  const daemon = await startDaemon(['--serial', join(dataDir, 'no-port'), '--data', dataDir])
  try {
    // The very first answer of a daemon takes longest whatever is done beside it.
    await daemon.get('/api/station')
    const beforeMib = mostResidentMib(daemon.pid)
    const request = get(`${daemon.url}/api/bends/export?format=${format}`)
    const [answer] = (await once(request, 'response')) as [IncomingMessage]
    let [isDone, longestMs] = [false, 0]
    const asked = (async () => {
      while (!isDone) {
        const beganMs = performance.now()
        await daemon.get('/api/station')
        longestMs = Math.max(longestMs, performance.now() - beganMs)
        await wait(5)
      }
    })()
    const { bytes, mostMib } = await take(answer, daemon.pid)
    isDone = true
    await asked
    return { bytes, moreMib: mostMib - beforeMib, longestMs }
  } finally {
    await daemon.stop()
  }
}

const FORMATS = ['csv', 'json', 'signed'] as const
const few = makeLongHistory(FEW)
const many = makeLongHistory(MANY)
const inDaemon = MANY_IN_DAEMON === MANY ? many : makeLongHistory(MANY_IN_DAEMON)
try {
  for (const { dir } of [few, many]) makeSigningKey(dir)
  console.log(`${MANY} bends against ${FEW}, ${busyness()}.`)
  const rows: object[] = []
  for (const format of FORMATS) {
    const [small, large] = [await byCommand(few.dir, format), await byCommand(many.dir, format)]
    rows.push({
      export: `command, ${format}`,
      MB: Math.round(large.bytes / 1e6),
      'times as much text': (large.bytes / small.bytes).toFixed(1),
      'most resident MiB': large.mostMib.toFixed(0),
      'times the memory': (large.mostMib / small.mostMib).toFixed(2),
    })
  }
  console.table(rows)
  const daemons: object[] = []
  for (const format of ['csv', 'json']) {
    const { bytes, moreMib, longestMs } = await byDaemon(inDaemon.dir, format)
    daemons.push({
      export: `daemon, ${format}, ${MANY_IN_DAEMON} bends`,
      MB: Math.round(bytes / 1e6),
      'more resident MiB': moreMib.toFixed(0),
      'longest answer beside it ms': longestMs.toFixed(0),
    })
  }
  console.table(daemons)
} finally {
  for (const history of new Set([few, many, inDaemon])) history.remove()
}
