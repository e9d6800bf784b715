import { once } from 'node:events'
import { mkdtempSync, rmSync } from 'node:fs'
import { connect } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import { WebSocket } from 'ws'
import { makeExportDesk } from '../../server/keeping/export-desk.ts'
import type { LiveMessage } from '../../server/messages/live.ts'
import { type Access, makeAccess } from '../../server/web/access.ts'
import { buildApp } from '../../server/web/app.ts'
import type { WebClock } from '../../server/web/clock.ts'
import { listen } from '../../server/web/listen.ts'
import type { WebParts } from '../../server/web/parts.ts'
import type { PeopleDoor } from '../../server/web/station-door.ts'
import { makeFakePeople } from './fake-people.ts'
import { FAKE_SOFTWARE } from './fake-state.ts'
import { type FakeStation, type FakeStationOptions, makeFakeStation } from './fake-station.ts'
import { makeFakeWire } from './fake-wire.ts'
import { realClock } from './real-clock.ts'

export type App = ReturnType<typeof buildApp>
type Logged = [sentence: string, facts: Readonly<Record<string, unknown>>]

export interface TestWeb {
  readonly app: App
  readonly station: FakeStation
  readonly wire: ReturnType<typeof makeFakeWire>
  readonly access: Access
  readonly people: PeopleDoor
  readonly logged: Logged[]
}

export interface TestWebOptions extends FakeStationOptions {
  readonly host?: string
  readonly clock?: WebClock
  readonly dashboardDir?: string | null
  /** A history that is only looked at. */
  readonly isToLook?: boolean
  readonly archive?: WebParts['archive']
  readonly wrap?: (station: FakeStation) => FakeStation
}

/** The web over a fake station; closed when the test is over. */
export function makeWeb(options: TestWebOptions = {}): TestWeb {
  const {
    host = '127.0.0.1',
    clock = realClock,
    dashboardDir = null,
    isToLook = false,
    wrap = (s) => s,
  } = options
  const station = wrap(makeFakeStation(options))
  const wire = makeFakeWire()
  const access = makeAccess({ host, clock })
  const people = makeFakePeople(station.history, clock)
  const logged: Logged[] = []
  const app = buildApp({
    station,
    wire,
    history: station.history,
    ...station.doors,
    dashboardDir,
    isToLook,
    left: makeExportDesk({
      ...{ history: station.history, software: FAKE_SOFTWARE },
      at: () => '2026-01-05T07:00:00.000+01:00',
      log: (sentence, facts) => void logged.push([sentence, facts ?? {}]),
    }).left,
    ...(options.archive && { archive: options.archive }),
    access,
    people,
    clock,
    software: FAKE_SOFTWARE,
    log: (sentence, facts) => void logged.push([sentence, facts]),
  })
  onTestFinished(() => app.close())
  return { app, station, wire, access, people, logged }
}

export interface ListeningWeb extends TestWeb {
  readonly port: number
  readonly url: string
}

/** The same, listening on any free port of loopback. */
export async function listenWeb(options: TestWebOptions = {}): Promise<ListeningWeb> {
  const web = makeWeb(options)
  const { url, port } = await listen(web.app, { host: '127.0.0.1', port: 0 })
  return { ...web, url, port }
}

/** A folder for one test, gone when it is over. */
export function makeFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-web-'))
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
  return folder
}

/** Sends exactly these bytes and gives back everything that comes until the other end closes. */
export async function rawHttp(port: number, text: string): Promise<string> {
  const socket = connect(port, '127.0.0.1')
  const chunks: Buffer[] = []
  socket.on('data', (chunk) => chunks.push(chunk))
  socket.on('error', () => undefined)
  socket.write(text)
  await once(socket, 'close')
  return Buffer.concat(chunks).toString('utf8')
}

export const statusOfRaw = (answer: string) => Number(/^HTTP\/1\.1 (\d{3}) /.exec(answer)?.[1])
export const bodyOfRaw = (answer: string) => JSON.parse(answer.split('\r\n\r\n')[1] ?? '')

export interface LivePage {
  readonly socket: WebSocket
  readonly messages: LiveMessage[]
  /** Resolves with the first message that fits, past ones included. */
  next(fits: (message: LiveMessage) => boolean): Promise<LiveMessage>
  samples(): Extract<LiveMessage, { type: 'samples' }>[]
}

/** Opens the live stream as a page of this daemon would. */
export function openLive(
  port: number,
  origin = `http://127.0.0.1:${port}`,
  station?: string,
): LivePage {
  const query = station === undefined ? '' : `?station=${station}`
  const socket = new WebSocket(`ws://127.0.0.1:${port}/live${query}`, { origin })
  const messages: LiveMessage[] = []
  const waiting = new Set<() => void>()
  socket.on('message', (data) => {
    messages.push(JSON.parse(String(data)))
    for (const look of waiting) look()
  })
  socket.on('error', () => undefined)
  onTestFinished(() => socket.terminate())
  return {
    socket,
    messages,
    next: (fits) =>
      new Promise((resolve) => {
        const look = () => {
          const found = messages.find(fits)
          if (!found) return
          waiting.delete(look)
          resolve(found)
        }
        waiting.add(look)
        look()
      }),
    samples: () => messages.filter((message) => message.type === 'samples'),
  }
}

/** The status and the sentence with which an attempt to open a stream is turned away. */
export async function turnedAway(
  url: string,
  headers: Record<string, string>,
): Promise<{ status: number; body: { code: string; sentence: string } }> {
  const socket = new WebSocket(url, { headers })
  socket.on('error', () => undefined)
  const [, response] = await once(socket, 'unexpected-response')
  const chunks: Buffer[] = []
  for await (const chunk of response) chunks.push(chunk)
  return { status: response.statusCode, body: JSON.parse(Buffer.concat(chunks).toString()) }
}

/** Lets everything that is ready happen, until `done` or a bounded number of turns. */
export async function until(done: () => boolean, turns = 2000): Promise<void> {
  for (let turn = 0; turn < turns && !done(); turn++)
    await new Promise((resolve) => setTimeout(resolve, 2))
  if (!done()) throw new Error('What the test waits for did not happen.')
}
