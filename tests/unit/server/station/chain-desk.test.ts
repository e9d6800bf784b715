import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, onTestFinished, test, vi } from 'vitest'
import { dieEncoderChain } from '../../../../server/blocks/shipped/die-encoder.ts'
import type { ChainFile } from '../../../../server/chain/chain-file.ts'
import type { ChainAsk } from '../../../../server/messages/chain.ts'
import type { Setup } from '../../../../server/messages/setup.ts'
import { makeRig } from '../../../support/station-rig.ts'

vi.setConfig({ testTimeout: 60_000 })

const SETUP: Setup = {
  station: 'Bench bender',
  die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'RT-1' },
  sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
}
const JOB = {
  ...{ part: 'rail', piece: 1, bendNumber: 1, wantedDeg: 60, toleranceDeg: 5 },
  operator: 'N',
}

/** The shipped chain with a notch against the hum of a pump, before the smoother. */
const NOTCHED: ChainFile = {
  ...dieEncoderChain,
  blocks: [
    ...dieEncoderChain.blocks,
    { id: 'hum', kind: 'notch', parameters: { unit: 'deg', rateHz: 200, centreHz: 50 } },
  ],
  connections: [
    ...dieEncoderChain.connections.filter(({ to }) => to !== 'smoother.angle'),
    { from: 'datum.angle', to: 'hum.value' },
    { from: 'hum.value', to: 'smoother.angle' },
  ],
}
const ask = (change: Partial<ChainAsk> = {}): ChainAsk => ({
  ...{ file: NOTCHED, who: 'Quality', why: 'The pump hums at 50 Hz.' },
  ...change,
})

let folder: string
/** What leaves the chain as files. */
let taps: string
let rig: ReturnType<typeof makeRig>
function begin() {
  taps = join(folder, 'taps')
  rig = makeRig({ seed: 11, dataDir: folder, taps: { folder: taps, env: {} } })
  rig.station.start()
  rig.clock.advance(2)
}
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'overbend-chain-desk-'))
  begin()
  rig.station.useSetup(SETUP)
  rig.station.useJob(JOB)
})
afterEach(async () => {
  await rig.close()
  rmSync(folder, { recursive: true })
})

const revision = () => rig.station.chain.view().revision

function bendUntil(count: number) {
  rig.station.bench({ mode: 'self' })
  for (let s = 0; s < 600 && rig.history.count() < count; s += 0.1) rig.clock.advance(0.1)
  rig.station.bench({ mode: 'hand' })
  expect(rig.history.count()).toBe(count)
}
function intoABend() {
  rig.station.bench({ mode: 'self' })
  for (let s = 0; s < 60 && rig.station.state().phase !== 'bending'; s += 0.1)
    rig.clock.advance(0.1)
}

describe('a draft that is put in force', () => {
  test('between bends runs at once, and the next record names its revision', () => {
    bendUntil(1)
    rig.clock.advance(5)
    expect(rig.station.chain.apply(ask())).toEqual({ when: 'now', revision: 'die-encoder r2' })
    bendUntil(2)
    expect(rig.history.bend(1)?.chainRevision).toBe('die-encoder r1')
    expect(rig.history.bend(2)).toMatchObject({ chainRevision: 'die-encoder r2', verdict: 'in' })
    expect(rig.history.raw(2)?.chain).toContain('"kind":"notch"')
    expect(rig.history.verify().intact).toBe(true)
  })

  test('in mid-bend waits for its end, and the bend is kept as it was begun', () => {
    intoABend()
    expect(rig.station.chain.apply(ask())).toMatchObject({ when: 'after-this-bend' })
    expect(revision()).toBe('die-encoder r1')
    expect(rig.station.chain.view().waiting).toEqual({
      who: 'Quality',
      why: 'The pump hums at 50 Hz.',
      revision: 'die-encoder r2',
    })
    bendUntil(1)
    rig.clock.advance(2)
    expect(rig.history.bend(1)).toMatchObject({
      chainRevision: 'die-encoder r1',
      closedBy: 'accepted',
    })
    expect(revision()).toBe('die-encoder r2')
    expect(rig.station.chain.view()).toMatchObject({ waiting: null, isShipped: false })
  })

  test('is still in force after a restart, with who, when and why', async () => {
    rig.station.chain.apply(ask())
    await rig.station.stop()
    rig.history.close()
    begin()
    expect(revision()).toBe('die-encoder r2')
    expect(rig.station.chain.revisions()).toMatchObject([
      { revision: 'die-encoder r2', who: 'Quality', isInForce: true },
    ])
  })

  test('can be gone back on: that is a revision of its own', () => {
    rig.station.chain.apply(ask())
    const { file } = rig.station.chain.shipped()
    rig.station.chain.apply(ask({ file, why: 'The pump was mended.' }))
    expect(revision()).toBe('die-encoder r3')
    expect(rig.station.chain.view().blocks.some(({ kind }) => kind === 'notch')).toBe(false)
    expect(rig.station.chain.revisions().map(({ isInForce }) => isInForce)).toEqual([true, false])
    const older = rig.station.chain.revisions()[1]
    expect(rig.station.chain.revision(older?.id ?? 0)?.file).toMatchObject({ revision: 2 })
    expect(rig.station.chain.revision(99)).toBeNull()
  })

  test('reads the sensor of the set-up, whatever its file says', () => {
    rig.station.chain.apply(ask())
    const sensor = { ...SETUP.sensor, countsPerTurn: 4096 }
    rig.station.useSetup({ ...SETUP, sensor })
    const scale = rig.station.chain.view().blocks.find(({ kind }) => kind === 'scale')
    expect(scale?.parameters).toMatchObject({ countsPerTurn: 4096 })
    expect(revision()).toBe('die-encoder r2')
  })

  test('shipped or stored, is shown with what the station puts in, so that only changes show', () => {
    rig.station.chain.apply(ask())
    const running = rig.station.chain.view().file
    const { file } = rig.station.chain.shipped()
    const stored = rig.station.chain.revision(rig.station.chain.revisions()[0]?.id ?? 0)?.file
    expect((stored as ChainFile).blocks).toEqual(running['blocks'])
    expect((stored as ChainFile).connections).toEqual(running['connections'])
    const ids = (one: unknown) => (one as ChainFile).blocks.map(({ id }) => id)
    expect(ids(file)).toContain('calibration')
    expect(ids(running).filter((id) => !ids(file).includes(id))).toEqual(['hum'])
    rig.station.chain.apply(ask({ file, why: 'Back.' }))
    expect(rig.station.chain.view().file['blocks']).toEqual((file as ChainFile).blocks)
  })

  test('belongs to its sensor: another has its own chain', () => {
    rig.station.chain.apply(ask())
    rig.station.useSetup({ ...SETUP, sensor: { ...SETUP.sensor, mount: 'arm' } })
    expect(revision()).toBe('arm-encoder r1')
    expect(rig.station.chain.revisions()).toEqual([])
  })
})

/** The shipped chain with a formula that nothing hangs by. */
const withFormula = (expression: string) => ({
  ...dieEncoderChain,
  blocks: [...dieEncoderChain.blocks, { id: 'sum', kind: 'formula', parameters: { expression } }],
  connections: [...dieEncoderChain.connections, { from: 'datum.angle', to: 'sum.a' }],
})

describe('what cannot run is refused whole, and the running chain goes on', () => {
  const many = Array.from({ length: 100_000 }, (_, n) => ({ id: `b${n}`, kind: 'delay' }))
  test.each([
    ['a newer version', { ...NOTCHED, version: 99 }, /version 99/, undefined],
    [
      'an unknown block',
      { ...NOTCHED, blocks: [...NOTCHED.blocks, { id: 'x', kind: 'y' }] },
      /"y"/,
      'x',
    ],
    ['too many blocks', { ...NOTCHED, blocks: many }, /blocks/, undefined],
    ['no chain', 'rubbish', /refused/, undefined],
    ['a formula that loops', withFormula('a; while (1) {}'), /";" at place 2/, 'sum'],
    ['a formula that reads the process', withFormula('process.exit()'), /no "process"/, 'sum'],
    ['a formula of another unit', withFormula('a * a'), /expression is refused/, 'sum'],
    [
      'a loop without delay',
      {
        ...NOTCHED,
        connections: [
          ...NOTCHED.connections.filter(({ to }) => to !== 'datum.angle'),
          { from: 'hum.value', to: 'datum.angle' },
        ],
      },
      /hum → datum → hum is a loop; put a "delay" block into it/,
      /^(datum\.angle|hum\.value)$/,
    ],
    [
      'a bend record without datum',
      {
        ...NOTCHED,
        connections: NOTCHED.connections.map((one) =>
          one.to === 'bend-watch.angle' ? { from: 'spike-guard.angle', to: one.to } : one,
        ),
      },
      /bend-watch\.angle does not come through a "datum" block.*put one between/,
      'bend-watch.angle',
    ],
    [
      'a parameter out of its range',
      {
        ...NOTCHED,
        blocks: NOTCHED.blocks.map((block) =>
          block.id === 'hum'
            ? { ...block, parameters: { ...block.parameters, centreHz: -1 } }
            : block,
        ),
      },
      /hum/,
      'hum',
    ],
  ])('%s', (_, file, words, field) => {
    expect(() => rig.station.chain.check(file)).toThrow(words)
    try {
      rig.station.chain.apply(ask({ file }))
      throw new Error('It was not refused.')
    } catch (error) {
      const at = field instanceof RegExp ? expect.stringMatching(field) : field
      expect(error).toMatchObject({ code: 'chain-refused', field: at })
    }
    expect(revision()).toBe('die-encoder r1')
    expect(rig.history.chainRevisions('die-encoder', 9)).toEqual([])
    rig.clock.advance(1)
    expect(rig.station.state().link.state).toBe('live')
  })
})

test('a revision that this version cannot run leaves the shipped chain, and is told of', async () => {
  rig.history.addChainRevision({
    ...{ schema: 1, at: '2026-01-05T09:30:00.000Z', station: 'Bench bender', software: '9.9.9' },
    ...{ who: 'Quality', why: 'From a newer program.', name: 'die-encoder' },
    chain: JSON.stringify({ ...NOTCHED, version: 99 }),
  })
  await rig.station.stop()
  rig.history.close()
  begin()
  expect(revision()).toBe('die-encoder r1')
  const notice = rig.station.state().notices.find(({ id }) => id === 'chain')
  expect(notice?.text).toMatch(/^Revision die-encoder r2 of the chain cannot run: .*version 99/)
})

describe('a proof', () => {
  test('runs stored bends through the draft, beside what they came out as', async () => {
    bendUntil(3)
    const { bends } = await rig.station.chain.prove({ file: NOTCHED, bends: [1, 2, 3] })
    for (const { id, before, after, why } of bends) {
      const record = rig.history.bend(id)
      expect(why).toBeNull()
      expect(before).toMatchObject({ peakDeg: record?.peakDeg, releasedDeg: record?.releasedDeg })
      // The bend watch comes before the notch, so peak and released angle are the same to the last digit.
      expect(after).toMatchObject({ peakDeg: record?.peakDeg, releasedDeg: record?.releasedDeg })
      expect(after?.trace.tS.length).toBeGreaterThan(100)
      expect(after?.cueS).toEqual(expect.any(Number))
      expect(after?.trace.angleDeg).not.toEqual(before?.trace.angleDeg)
    }
    expect(revision()).toBe('die-encoder r1')
  })

  test('of the running chain itself changes nothing', async () => {
    bendUntil(1)
    const { file } = rig.station.chain.view()
    const { bends } = await rig.station.chain.prove({ file, bends: [1] })
    expect(bends[0]?.after).toEqual(bends[0]?.before)
  })

  test('lets nothing out, whatever taps a draft has; in force it does', async () => {
    let requests = 0
    const receiver = createServer((request, response) => {
      requests += 1
      request.resume()
      response.writeHead(204).end()
    })
    await new Promise<void>((resolve) => receiver.listen(0, 'localhost', resolve))
    onTestFinished(() => void receiver.close())
    const { port } = receiver.address() as AddressInfo
    const file: ChainFile = {
      ...NOTCHED,
      blocks: [
        ...NOTCHED.blocks,
        { id: 'log', kind: 'csv-tap', parameters: { file: 'angle', everyS: 0.5 } },
        {
          ...{ id: 'hook', kind: 'webhook' },
          parameters: { host: 'localhost', port, path: '/angle', everyS: 0.5 },
        },
      ],
      connections: [
        ...NOTCHED.connections,
        { from: 'smoother.angle', to: 'log.value' },
        { from: 'smoother.angle', to: 'hook.value' },
      ],
    }
    bendUntil(1)
    const { bends } = await rig.station.chain.prove({ file, bends: [1] })
    expect(bends[0]?.why).toBeNull()
    expect(bends[0]?.after?.trace.tS.length).toBeGreaterThan(100)
    const written = () => existsSync(taps) && readdirSync(taps).length > 0
    expect([written(), requests]).toEqual([false, 0])

    rig.station.chain.apply(ask({ file }))
    bendUntil(2)
    await expect.poll(() => [written(), requests > 0], { timeout: 20_000 }).toEqual([true, true])
  })

  test('names a bend that is not there', async () => {
    await expect(rig.station.chain.prove({ file: NOTCHED, bends: [7] })).rejects.toThrow(/number 7/)
  })
})
