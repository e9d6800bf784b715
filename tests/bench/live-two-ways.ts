import { fork } from 'node:child_process'
import { once } from 'node:events'
import type { AddressInfo } from 'node:net'
import { WebSocketServer } from 'ws'
import { makeAccess } from '../../server/web/access.ts'
import { buildApp } from '../../server/web/app.ts'
import { listen } from '../../server/web/listen.ts'
import { makeFakePeople } from '../support/fake-people.ts'
import { makeFakeStation } from '../support/fake-station.ts'
import { makeFakeWire } from '../support/fake-wire.ts'
import { realClock } from '../support/real-clock.ts'

/** The same sample on its way to the same pages: by our live stream, and by nothing but `ws`. */
export interface TwoWays {
  /** Sends one sample now; resolves when every page has it. */
  readonly ways: Readonly<Record<'live' | 'bare', { send(): void; arrived(): Promise<void> }>>
  /** Delays since the last report, ms. */
  report(): Promise<Readonly<Record<'live' | 'bare', number[]>>>
  close(): Promise<void>
}

const nowMs = () => Number(process.hrtime.bigint()) / 1e6

async function openBare() {
  const server = new WebSocketServer({ port: 0, host: '127.0.0.1', perMessageDeflate: false })
  await once(server, 'listening')
  const { port } = server.address() as AddressInfo
  return {
    url: `ws://127.0.0.1:${port}/`,
    send() {
      // As much as a board's own line: what a bare echo of a serial port would pass on.
      const line = `[${nowMs()}] $OBS,12345,4000000000,12345,8*0000`
      for (const client of server.clients) client.send(line)
    },
    close: () => server.close(),
  }
}

async function openLive() {
  const station = makeFakeStation()
  const app = buildApp({
    station,
    wire: makeFakeWire(),
    history: station.history,
    ...station.doors,
    people: makeFakePeople(station.history, realClock),
    dashboardDir: null,
    access: makeAccess({ host: '127.0.0.1', clock: realClock }),
    clock: realClock,
    software: 'bench',
  })
  const { port } = await listen(app, { host: '127.0.0.1', port: 0 })
  return {
    url: `ws://127.0.0.1:${port}/live`,
    send() {
      const angleDeg = [45.123456]
      const quality = [0]
      const tS = [nowMs()]
      station.say({
        type: 'samples',
        tS,
        angleDeg,
        rateDegPerS: [12.345678],
        quality,
        cue: 'bend',
        omitted: 0,
      })
    },
    close: () => app.close(),
  }
}

export async function openTwoWays(pages: number): Promise<TwoWays> {
  const [bare, live] = await Promise.all([openBare(), openLive()])
  const child = fork(new URL('./live-clients.child.ts', import.meta.url), {
    execArgv: ['--import', 'tsx'],
  })
  const waiting = new Map<string, () => void>()
  child.on('message', ({ whole }: { whole?: string }) => waiting.get(whole ?? '')?.())
  const orders = [bare, live].map(({ url }) => ({
    url,
    origin: new URL(url).origin.replace('ws', 'http'),
    count: pages,
  }))
  child.send({ open: orders })
  await once(child, 'message')
  const arrived = (url: string) => () =>
    new Promise<void>((resolve) => void waiting.set(url, resolve))
  return {
    ways: {
      bare: { send: bare.send, arrived: arrived(bare.url) },
      live: { send: live.send, arrived: arrived(live.url) },
    },
    async report() {
      const reported = new Promise<Record<string, number[]>>((resolve) => {
        child.on('message', ({ delays }: { delays?: Record<string, number[]> }) => {
          if (delays) resolve(delays)
        })
      })
      child.send({ report: true })
      const delays = await reported
      return { bare: delays[bare.url] ?? [], live: delays[live.url] ?? [] }
    },
    async close() {
      child.kill()
      bare.close()
      await live.close()
    },
  }
}
