import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { catalogue } from '../../../../../server/blocks/index.ts'
import { dieEncoderChain } from '../../../../../server/blocks/shipped/die-encoder.ts'
import type { ChainFile } from '../../../../../server/chain/chain-file.ts'
import { runDemo } from '../../../../../server/demo.ts'
import { prove } from '../../../../../server/station/chain-proof.ts'
import { rerun } from '../../../../../server/station/rerun.ts'
import { makeRig } from '../../../../support/station-rig.ts'

let data: string
beforeEach(() => {
  data = mkdtempSync(join(tmpdir(), 'overbend-taps-'))
})
afterEach(() => rmSync(data, { recursive: true }))

const folder = () => join(data, 'taps')
const file = (name: string) => readFileSync(join(folder(), name), 'utf8')
const recordsOf = (text: string) =>
  parse(text, { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[]

const withTaps = (...taps: { id: string; parameters?: object }[]): ChainFile => ({
  ...dieEncoderChain,
  blocks: [
    ...dieEncoderChain.blocks,
    ...taps.map(({ id, parameters = {} }) => ({
      ...{ id, kind: 'csv-tap' },
      parameters: { file: id, ...parameters },
    })),
  ],
  connections: [
    ...dieEncoderChain.connections,
    ...taps.flatMap(({ id }) => [
      { from: 'smoother.angle', to: `${id}.value` },
      { from: 'bend-watch.events', to: `${id}.events` },
    ]),
  ],
})

function makeShop(taps = true) {
  const rig = makeRig({
    seed: 5,
    ...(taps && { taps: { folder: folder(), env: {} } }),
  })
  const use = (chain: ChainFile) =>
    rig.station.chain.apply({ file: chain, who: 'Test', why: 'to tap' })
  return { rig, use }
}

/** Bends of the bench until there are so many. */
function bendUntil({ history, clock }: ReturnType<typeof makeRig>, count: number): void {
  for (let s = 0; s < 600 && history.count() < count; s++) clock.advance(1)
  expect(history.count()).toBeGreaterThanOrEqual(count)
}

test('what the chain lets out stands in the file, in order, with the times of the bends', async () => {
  const { rig, use } = makeShop()
  use(withTaps({ id: 'log', parameters: { everyS: 0.5 } }))
  rig.station.start()
  runDemo(rig.station)
  bendUntil(rig, 2)
  const bends = [1, 2].map((id) => rig.history.bend(id))
  expect(rig.station.state().notices.filter(({ id }) => id.startsWith('tap-'))).toEqual([])
  await rig.close()
  const rows = recordsOf(file('log-0001.csv'))
  const times = rows.filter((row) => row['event'] === '').map((row) => Number(row['time (s)']))
  expect(times.length).toBeGreaterThan(20)
  for (const [nth, timeS] of times.slice(1).entries())
    expect(timeS - (times[nth] as number)).toBeGreaterThanOrEqual(0.5 - 1e-6)
  const settled = rows.filter((row) => row['event'] === 'bend settled')
  const released = settled.map((row) => JSON.parse(row['facts'] ?? '').releasedDeg as number)
  for (const bend of bends)
    expect(released).toContainEqual(expect.closeTo(bend?.goes[0]?.releasedDeg ?? 0, 5))
})

test('a record that is run again, or a draft that is proved, lets nothing out and gives the same', async () => {
  const { rig, use } = makeShop()
  const chain = withTaps({ id: 'log', parameters: { everyS: 0.1 } })
  use(chain)
  rig.station.start()
  runDemo(rig.station)
  bendUntil(rig, 2)
  const raw = rig.history.raw(2)
  const bend = rig.history.bend(2)
  const running = rig.station.chain.view().file as ChainFile
  await rig.close()
  if (raw === null) throw new Error('The bend has no lines.')
  expect(
    JSON.parse(raw.chain).blocks.some(({ kind }: { kind: string }) => kind === 'csv-tap'),
  ).toBe(true)

  const before = file('log-0001.csv')
  const again = await rerun(raw, catalogue)
  expect(again.drafts.at(-1)).toMatchObject({ goes: bend?.goes, closedBy: bend?.closedBy })
  const draft = withTaps({ id: 'log', parameters: { file: 'other' } }, { id: 'more' })
  const [proved] = await prove(
    { running, draft, blocksFolder: null, bends: [{ id: 2, raw }] },
    catalogue,
  )
  expect(proved?.why).toBeNull()
  expect(proved?.after).toEqual(proved?.before)
  expect(readdirSync(folder())).toEqual(['log-0001.csv'])
  expect(file('log-0001.csv')).toBe(before)
})

describe('when the chain changes', () => {
  test('a tap that stays as it was goes on; one that is gone is done, one that is new begins', async () => {
    const { rig, use } = makeShop()
    use(withTaps({ id: 'stays' }, { id: 'goes' }))
    rig.station.start()
    rig.clock.advance(5)
    use(withTaps({ id: 'stays' }, { id: 'comes' }))
    rig.clock.advance(5)
    const seen = rig.station.chain.seen()
    expect(seen.taps.map(({ block }) => block)).toEqual(['stays', 'comes'])
    await rig.close()
    const spanS = (name: string) => {
      const times = recordsOf(file(name)).map((row) => Number(row['time (s)']))
      return Math.max(...times) - Math.min(...times)
    }
    expect(readdirSync(folder()).sort()).toEqual([
      'comes-0001.csv',
      'goes-0001.csv',
      'stays-0001.csv',
    ])
    expect(spanS('stays-0001.csv')).toBeGreaterThan(7)
    expect(spanS('goes-0001.csv')).toBeLessThan(6)
    expect(spanS('comes-0001.csv')).toBeLessThan(6)
  })

  test('two taps on one file are refused at the second', async () => {
    const { rig, use } = makeShop()
    const twice = withTaps(
      { id: 'one', parameters: { file: 'log' } },
      { id: 'two', parameters: { file: 'log' } },
    )
    expect(() => use(twice)).toThrow(
      'two.value goes into the file "log", and so does "one": give it a file of its own.',
    )
    await rig.close()
  })
})

test('a folder that cannot be written to is told on the page, and bends go on', async () => {
  writeFileSync(folder(), 'no folder')
  const { rig, use } = makeShop()
  use(withTaps({ id: 'log' }))
  rig.station.start()
  runDemo(rig.station)
  bendUntil(rig, 1)
  await expect
    .poll(() => {
      rig.clock.advance(1)
      return rig.station.state().notices.find(({ id }) => id === 'tap-log')?.text
    })
    .toMatch(
      /^Tap "log": Nothing can be written into .*: a file stands in its place\. Of its .* \d+ wait\.$/,
    )
  const [tap] = rig.station.chain.seen().taps
  expect(tap).toMatchObject({
    block: 'log',
    sent: 0,
    trouble: expect.stringContaining('in its place'),
  })
  rmSync(folder())
  await expect
    .poll(() => {
      rig.clock.advance(1)
      return statSync(join(folder(), 'log-0001.csv'), { throwIfNoEntry: false })?.size ?? 0
    })
    .toBeGreaterThan(100)
  await rig.close()
})

test('a station that was given no place for taps lets nothing out', async () => {
  const { rig, use } = makeShop(false)
  use(withTaps({ id: 'log' }))
  rig.station.start()
  rig.clock.advance(5)
  expect(rig.station.chain.seen().taps).toEqual([])
  await rig.close()
  expect(readdirSync(data)).toEqual([])
})
