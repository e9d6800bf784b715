import { once } from 'node:events'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, onTestFinished, test } from 'vitest'
import { WebSocket } from 'ws'
import type { BendPage } from '../../server/messages/find.ts'
import type { LiveMessage, StationState } from '../../server/messages/live.ts'
import type { Job, Setup } from '../../server/messages/setup.ts'
import { write } from '../bench/wire-to-browser-write.ts'
import { type Daemon, overbend, startDaemon, until } from '../support/daemon.ts'
import { skipWithout } from '../support/needs.ts'
import { makePtyPair } from '../support/pty-pair.ts'

const RATE_HZ = 200
const LEFT = { key: 'left', name: 'Left' }
const RIGHT = { key: 'right', name: 'Right' }
const SOON = { seconds: 60 }

const SETUP: Omit<Setup, 'station'> = {
  die: { name: 'CLR 114.3', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'L-1' },
  sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
}
const JOB: Job = {
  part: 'Grab rail',
  piece: 1,
  bendNumber: 1,
  operator: 'Kim',
  wantedDeg: 90,
  toleranceDeg: 1,
}

async function makeShop() {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-two-benders-'))
  const left = await makePtyPair(folder, 'left')
  const right = await makePtyPair(folder, 'right')
  onTestFinished(async () => {
    await Promise.all([left.unplug(), right.unplug()])
    rmSync(folder, { recursive: true, force: true })
  })
  const file = join(folder, 'stations.json')
  const stations = [
    { name: LEFT.name, serial: left.path },
    { name: RIGHT.name, serial: right.path },
  ]
  writeFileSync(file, JSON.stringify({ stations }))
  const data = join(folder, 'data')
  return { left, right, data, args: ['--stations', file, '--data', data] }
}

const at = ({ key }: typeof LEFT) => `/api/stations/${key}/station`
const stateOf = (daemon: Daemon, bender: typeof LEFT) => daemon.get<StationState>(at(bender))

async function prepare(daemon: Daemon): Promise<void> {
  for (const bender of [LEFT, RIGHT]) {
    const setup = { station: bender.name, ...SETUP }
    expect(await daemon.send('PUT', `${at(bender)}/setup`, setup)).toMatchObject({ status: 200 })
    expect(await daemon.send('PUT', `${at(bender)}/job`, JOB)).toMatchObject({ status: 200 })
  }
}

/** Zero is taken while the die stands still: a second of samples has come. */
async function takeDatum(daemon: Daemon, bender: typeof LEFT): Promise<void> {
  const hasSamples = ({ link }: StationState) => link.counters.samples > RATE_HZ
  const within = { ...SOON, what: `samples of ${bender.name}` }
  await until(() => stateOf(daemon, bender), hasSamples, within)
  const answer = await daemon.send('POST', `${at(bender)}/act`, { act: 'datum' })
  expect(answer).toMatchObject({ status: 200 })
}

describe.skipIf(skipWithout('socat'))('two benders of one daemon, each on its own wire', () => {
  test('one that floods and then dies costs the other no sample', async () => {
    const { left, right, args } = await makeShop()
    const daemon = await startDaemon(args)
    onTestFinished(() => daemon.kill())
    const got: string[] = []
    const live = `${daemon.url.replace('http', 'ws')}/live?station=${LEFT.key}`
    const page = new WebSocket(live, { origin: daemon.url })
    page.on('message', (data) => got.push(String(data)))
    await once(page, 'open')

    let isOver = false
    const samples = 8 * RATE_HZ
    const writing = write({
      wires: [`${left.path}-far-end`],
      rateHz: RATE_HZ,
      samples,
    }).finally(() => {
      isOver = true
    })
    // No line at all, then lines that mean nothing: as fast as the wire takes them.
    const noise = ['\x00\xff~'.repeat(2000), '$PXOBS,not,a,sample*00\r\n'.repeat(200)]
    let floods = 0
    while (!isOver && floods < 400) {
      await right.speak(noise[floods % 2] ?? '')
      floods += 1
    }
    await right.unplug()
    const [sent = []] = await writing
    expect(sent).toHaveLength(samples)

    const whole = ({ link }: StationState) => link.counters.samples >= samples
    const state = await until(() => stateOf(daemon, LEFT), whole, {
      ...SOON,
      what: 'all samples of the good wire',
    })
    expect(state.link.counters).toMatchObject({ samples, gaps: 0, badChecksum: 0, malformed: 0 })
    const onPage = () =>
      got
        .map((text) => JSON.parse(text) as LiveMessage)
        .flatMap((said) => (said.type === 'samples' ? [said] : []))
    await expect.poll(() => onPage().flatMap(({ tS }) => tS).length).toBe(samples)
    expect(onPage().every(({ omitted }) => omitted === 0)).toBe(true)
    page.close()

    const other = await until(
      () => stateOf(daemon, RIGHT),
      ({ link }) => link.state === 'lost',
      { ...SOON, what: 'the loss of the other wire' },
    )
    expect(floods).toBeGreaterThan(10)
    expect(other.link.counters.lines).toBeGreaterThan(200)
    expect(other.link.counters.samples).toBe(0)
  })

  test('a power cut in the middle of two bends: each is on record at its own bender', async () => {
    const { left, right, data, args } = await makeShop()
    const cut = await startDaemon(args)
    onTestFinished(() => cut.kill())
    await prepare(cut)
    const wires = [left, right].map(({ path }) => `${path}-far-end`)
    const writing = write({ wires, rateHz: RATE_HZ, samples: 12 * RATE_HZ })
    await Promise.all([LEFT, RIGHT].map((bender) => takeDatum(cut, bender)))
    for (const bender of [LEFT, RIGHT])
      await until(
        () => stateOf(cut, bender),
        ({ phase }) => phase === 'bending',
        { ...SOON, what: `a bend at ${bender.name}` },
      )
    await cut.kill()

    const daemon = await startDaemon(args)
    onTestFinished(() => daemon.kill())
    await writing
    const { bends } = await daemon.get<BendPage>('/api/bends?limit=10')
    const asked = bends.map(({ id }) => daemon.get(`/api/bends/${id}`))
    const records = (await Promise.all(asked)) as { verdict: string; setup: Setup }[]
    expect(records.map(({ verdict }) => verdict)).toEqual(['incomplete', 'incomplete'])
    expect(records.map(({ setup }) => setup.station).toSorted()).toEqual([LEFT.name, RIGHT.name])
    for (const bender of [LEFT, RIGHT]) {
      const { notices } = await stateOf(daemon, bender)
      expect(notices.filter(({ id }) => id === 'left-open')).toHaveLength(1)
    }
    await daemon.stop()
    expect((await overbend(['verify', '--data', data])).code).toBe(0)
  })
})
