import { once } from 'node:events'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { WebSocket } from 'ws'
import { type Daemon, startDaemon, until } from '../support/daemon.ts'
import { type LiveWatch, watchLive } from '../support/live-watch.ts'

const CLIENTS = 200
/** What two hundred sockets, a stalled one and twenty seconds of samples may add. */
const GROWTH_MAX_MIB = 150
const TEN_MB = 10_000_000

const residentMib = ({ pid }: Daemon): number => {
  const kib = /VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1]
  return Number(kib) / 1024
}

describe('many pages on one daemon', () => {
  const data = mkdtempSync(join(tmpdir(), 'overbend-clients-'))
  let daemon: Daemon
  beforeAll(async () => {
    daemon = await startDaemon(['--bench', '--data', data])
  })
  afterAll(async () => {
    await daemon.stop()
    rmSync(data, { recursive: true })
  })

  test(`${CLIENTS} pages, one of which stops reading: the others miss nothing`, async () => {
    const first = watchLive(daemon)
    await first.more(50)
    const before = residentMib(daemon)
    const stalled = watchLive(daemon)
    await stalled.more(10)
    stalled.socket.pause()
    let omitted = 0
    const watch = (): LiveWatch =>
      watchLive(daemon, (message) => {
        if (message.type === 'samples') omitted += message.omitted
      })
    const others = Array.from({ length: CLIENTS - 2 }, watch)
    await Promise.all(others.map((page) => page.more(1000)))
    expect(residentMib(daemon) - before).toBeLessThan(GROWTH_MAX_MIB)
    expect(omitted).toBe(0)
    for (const { socket } of [first, stalled, ...others]) socket.terminate()
  })

  test('a page of another origin is turned away', async () => {
    const socket = new WebSocket(`${daemon.url.replace('http', 'ws')}/live`, {
      origin: 'http://elsewhere.test',
    })
    const [error] = await once(socket, 'error')
    expect(String(error)).toContain('403')
  })

  test('a message of 10 MB ends the one who sent it, and nobody else', async () => {
    const other = watchLive(daemon)
    await other.more(10)
    const rude = watchLive(daemon)
    await rude.more(10)
    rude.socket.send(Buffer.alloc(TEN_MB))
    await rude.closed()
    await other.more(100)
    expect(other.socket.readyState).toBe(WebSocket.OPEN)
    other.socket.close()
    await until(
      () => daemon.get<{ ok: boolean }>('/api/health'),
      ({ ok }) => ok,
      {
        seconds: 10,
        what: 'a daemon in health',
      },
    )
  })
})
