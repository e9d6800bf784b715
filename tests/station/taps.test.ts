import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'
import { connect } from 'mqtt'
import { describe, expect, test } from 'vitest'
import type { ChainApplied, ChainSeen, ChainView } from '../../server/messages/chain.ts'
import type { StationState } from '../../server/messages/live.ts'
import { startDaemon, until } from '../support/daemon.ts'
import { freePort, runMosquitto } from '../support/mosquitto.ts'
import { skipWithout } from '../support/needs.ts'

const SOON = 60
const [USER, PASSWORD] = ['bender', 'a:b c']

interface Item {
  readonly value?: number
  readonly unit?: string
  readonly quality?: string
  readonly event?: string
  readonly at: string
}

const withTaps = (file: Record<string, unknown>, brokerPort: number, hookPort: number) => {
  const taps = [
    { id: 'log', kind: 'csv-tap', parameters: { file: 'angle', everyS: 0.5 } },
    {
      ...{ id: 'shop', kind: 'mqtt-publish' },
      parameters: {
        ...{ host: '127.0.0.1', port: brokerPort, topic: 'rail/bender', retain: true },
        ...{ login: 'OVERBEND_BROKER', everyS: 0.5 },
      },
    },
    {
      ...{ id: 'hook', kind: 'webhook' },
      parameters: { host: 'localhost', port: hookPort, path: '/bends', everyS: 0.5 },
    },
  ]
  return {
    ...file,
    blocks: [...(file['blocks'] as object[]), ...taps],
    connections: [
      ...(file['connections'] as object[]),
      ...taps.flatMap(({ id }) => [
        { from: 'smoother.angle', to: `${id}.value` },
        { from: 'bend-watch.events', to: `${id}.events` },
      ]),
    ],
  }
}

describe.skipIf(skipWithout('mosquitto'))('taps of a real daemon', () => {
  test('write, publish and post; a broker that comes late, goes and comes back; the last will', async ({
    onTestFinished,
  }) => {
    const folder = mkdtempSync(join(tmpdir(), 'overbend-taps-'))
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
    const posts: { block: string; number: number; items: Item[] }[] = []
    const receiver = createServer((request, response) => {
      let body = ''
      request.on('data', (chunk) => {
        body += chunk
      })
      request.on('end', () => {
        posts.push(JSON.parse(body))
        response.writeHead(204).end()
      })
    })
    await new Promise<void>((resolve) => receiver.listen(0, 'localhost', resolve))
    onTestFinished(() => void receiver.close())
    const brokerPort = await freePort()
    const data = join(folder, 'data')
    const daemon = await startDaemon(['--bench', '--bench-speed', '4', '--data', data], {
      OVERBEND_BROKER: `${USER}:${PASSWORD}`,
    })
    onTestFinished(() => daemon.kill())

    const { file } = await daemon.get<ChainView>('/api/chain')
    const hookPort = (receiver.address() as AddressInfo).port
    const applied = await daemon.send('PUT', '/api/chain', {
      ...{ file: withTaps(file, brokerPort, hookPort), who: 'Test', why: 'to let values out' },
    })
    expect(applied.status).toBe(200)
    expect((applied.body as ChainApplied).when).toMatch(/now|after-this-bend/)
    const notice = async () =>
      (await daemon.get<StationState>('/api/station')).notices.find(({ id }) => id === 'tap-shop')
    const within = (what: string) => ({ seconds: SOON, what })

    // Nobody is there yet: it says so, and what it has to say waits.
    await until(
      notice,
      (one) => /127\.0\.0\.1:\d+ cannot be reached: nobody listens there\./.test(one?.text ?? ''),
      within('the notice'),
    )

    const values: Item[] = []
    const events: Item[] = []
    const presence: string[] = []
    const listen = () => {
      const client = connect({
        ...{ host: '127.0.0.1', port: brokerPort, username: USER, password: PASSWORD },
        reconnectPeriod: 200,
      })
      client.on('error', () => undefined)
      client.on('message', (topic, payload) => {
        const text = payload.toString()
        if (topic === 'rail/bender') values.push(JSON.parse(text))
        if (topic === 'rail/bender/event') events.push(JSON.parse(text))
        if (topic === 'rail/bender/station') presence.push(text)
      })
      client.subscribe('rail/#', { qos: 1 })
      return client
    }
    let stopBroker = runMosquitto(folder, brokerPort, USER, PASSWORD)
    onTestFinished(() => stopBroker())
    const client = listen()
    onTestFinished(() => void client.end(true))
    const said = async () => events.map(({ event }) => event)
    await until(said, (all) => all.includes('bend settled'), within('a settled bend at the broker'))
    expect(presence).toContain('{"station":"here"}')
    expect(values.length).toBeGreaterThan(3)
    for (const one of values) {
      expect(Object.keys(one)).toEqual(['value', 'unit', 'quality', 'at'])
      expect(one.unit).toBe('deg')
    }
    expect(await until(notice, (one) => one === undefined, within('no notice'))).toBeUndefined()

    // The broker goes, and comes back.
    await stopBroker()
    await until(notice, (one) => one !== undefined, within('the notice again'))
    const before = values.length
    presence.length = 0
    stopBroker = runMosquitto(folder, brokerPort, USER, PASSWORD)
    await until(
      async () => presence,
      (all) => all.includes('{"station":"here"}'),
      within('it is here'),
    )
    await until(
      async () => values.length,
      (now) => now > before,
      within('more values'),
    )

    // The receiver heard of the same bend, one post after the other.
    const items = async () => posts.flatMap((one) => one.items)
    await until(
      items,
      (all) => all.some(({ event }) => event === 'bend settled'),
      within('a settled bend at the receiver'),
    )
    expect(posts.map(({ number }) => number)).toEqual(posts.map((_, nth) => nth + 1))
    expect(new Set(posts.map(({ block }) => block))).toEqual(new Set(['hook']))

    // So does the file, whose values are those that were posted.
    const { taps } = await daemon.get<ChainSeen>('/api/chain/seen')
    expect(taps.find(({ block }) => block === 'log')).toMatchObject({ dropped: 0, trouble: null })
    const text = readFileSync(join(data, 'taps', 'angle-0001.csv'), 'utf8')
    const rows: Record<string, string>[] = parse(text, { columns: true, record_delimiter: '\r\n' })
    expect(rows.some((row) => row['event'] === 'bend settled')).toBe(true)
    const written = rows.flatMap((row) => (row['event'] === '' ? [Number(row['angle (deg)'])] : []))
    const posted = (await items()).flatMap(({ value }) => (value === undefined ? [] : [value]))
    const both = Math.min(written.length, posted.length)
    expect(both).toBeGreaterThan(3)
    expect(written.slice(0, both)).toEqual(posted.slice(0, both))
    expect(readdirSync(join(data, 'taps'))).toEqual(['angle-0001.csv'])

    // A power cut: the broker says for it that it is gone.
    presence.length = 0
    await daemon.kill()
    await until(
      async () => presence,
      (all) => all.includes('{"station":"gone"}'),
      within('the last will'),
    )
  })
})
