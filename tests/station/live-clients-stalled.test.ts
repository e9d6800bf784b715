import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { WebSocket } from 'ws'
import { startDaemon, until } from '../support/daemon.ts'
import { watchLive } from '../support/live-watch.ts'

/** As fast as the bench goes: what the system itself holds for one connection is full in seconds. */
const SPEED = 20
/** Some ten times what the page may have waiting, and what the daemon needs for its own work. */
const GROWTH_MAX_MIB = 100

const residentMib = (pid: number): number =>
  Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1]) / 1024

/** State of a connection that neither end has closed, in the system's table. */
const ESTABLISHED = '01'

/** The daemon's own ends of open connections: a page that does not read sees nothing of its end. */
function heldBy(url: string): number {
  const port = Number(new URL(url).port).toString(16).toUpperCase().padStart(4, '0')
  const rows = readFileSync('/proc/net/tcp', 'utf8').trim().split('\n').slice(1)
  return rows.filter((row) => {
    const [, local, , state] = row.trim().split(/\s+/)
    return local?.endsWith(`:${port}`) && state === ESTABLISHED
  }).length
}

test('a page that reads no more is given up after a while; the daemon holds nothing for it, others go on', async () => {
  const data = mkdtempSync(join(tmpdir(), 'overbend-stalled-'))
  const daemon = await startDaemon(['--bench', '--bench-speed', `${SPEED}`, '--data', data])
  const other = watchLive(daemon)
  const stalled = watchLive(daemon)
  await stalled.more(100)
  const before = residentMib(daemon.pid)
  stalled.socket.pause()
  expect(heldBy(daemon.url)).toBe(2)
  await until(
    async () => heldBy(daemon.url),
    (held) => held === 1,
    { seconds: 60, what: 'one page left' },
  )
  await other.more(1000)
  expect(other.socket.readyState).toBe(WebSocket.OPEN)
  expect(residentMib(daemon.pid) - before).toBeLessThan(GROWTH_MAX_MIB)
  stalled.socket.resume()
  await stalled.closed()
  other.socket.close()
  expect(await daemon.stop()).toBe(0)
  rmSync(data, { recursive: true })
})
