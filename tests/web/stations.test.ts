import { expect, onTestFinished, test } from 'vitest'
import { makeAccess } from '../../server/web/access.ts'
import { buildApp } from '../../server/web/app.ts'
import { listen } from '../../server/web/listen.ts'
import { makeFakePeople } from '../support/fake-people.ts'
import { FAKE_SOFTWARE } from '../support/fake-state.ts'
import { makeFakeStation } from '../support/fake-station.ts'
import { makeFakeWire } from '../support/fake-wire.ts'
import { realClock } from '../support/real-clock.ts'
import { openLive, turnedAway } from '../support/web.ts'

function makeTwo() {
  const [left, right] = [makeFakeStation(), makeFakeStation({ seed: 2, bench: false })]
  const seats = [
    { key: 'left', station: left, wire: makeFakeWire() },
    { key: 'right', station: right, wire: makeFakeWire() },
  ] as const
  const app = buildApp({
    ...seats[0],
    ...{ seats, history: left.history, ...left.doors },
    ...{ people: makeFakePeople(left.history, realClock), dashboardDir: null },
    ...{ access: makeAccess({ host: '127.0.0.1', clock: realClock }), clock: realClock },
    software: FAKE_SOFTWARE,
  })
  onTestFinished(() => app.close())
  const get = async (url: string) =>
    (await app.inject({ url, headers: { host: '127.0.0.1' } })).json()
  return { app, left, right, get }
}

test('the list tells one from the other, and each has addresses of its own', async () => {
  const { left, right, get } = makeTwo()
  right.fault('lost')
  expect(await get('/api/stations')).toMatchObject([
    { key: 'left', isBench: true },
    { key: 'right', isBench: false, link: right.state().link.state },
  ])
  expect((await get('/api/stations/right/station')).bench).toBeNull()
  expect((await get('/api/stations/left/station')).bench).not.toBeNull()
  expect((await get('/api/station')).bench).toEqual(left.state().bench)
  expect(await get('/api/stations/middle/station')).toMatchObject({ code: 'no-such-station' })
})

test('the document lists each resource once', async () => {
  const { app, get } = makeTwo()
  await app.ready()
  const paths = Object.keys((await get('/api/openapi.json')).paths)
  expect(paths).toContain('/api/stations')
  expect(paths).toContain('/api/wire')
  expect(paths.filter((path) => path.startsWith('/api/stations/'))).toEqual([])
})

test('a live page hears its own station only; an unknown one is refused before the upgrade', async () => {
  const { app, left, right } = makeTwo()
  const { port } = await listen(app, { host: '127.0.0.1', port: 0 })
  const page = openLive(port, undefined, 'right')
  await page.next(({ type }) => type === 'hello')
  left.step(5)
  right.step(3)
  await page.next(({ type }) => type === 'samples')
  expect(page.samples().flatMap(({ tS }) => tS)).toHaveLength(3)
  const url = `ws://127.0.0.1:${port}/live?station=middle`
  const { status, body } = await turnedAway(url, { origin: `http://127.0.0.1:${port}` })
  expect([status, body.code]).toEqual([404, 'no-such-station'])
  expect(body.sentence).toContain('middle')
})
