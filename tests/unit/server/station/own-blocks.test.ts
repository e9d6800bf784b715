import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { dieEncoderChain } from '../../../../server/blocks/shipped/die-encoder.ts'
import type { Setup } from '../../../../server/messages/setup.ts'
import { catalogueWith, SHIPPED } from '../../../../server/own-blocks/catalogue.ts'
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
/** Hands on what comes; throws beyond an angle. */
const source = (limitDeg: number) => `
export default ({ defineBlock, number, strict }) =>
  defineBlock({
    kind: 'hand-on',
    summary: 'Hands on.',
    parameters: strict({}),
    inputs: { angle: number('deg', 'In.') },
    outputs: { angle: number('deg', 'Out.') },
    start: () => ({}),
    step(frame, memory, parameters, rows) {
      for (let row = 0; row < rows; row++) {
        if (frame.in.angle.value[row] > ${limitDeg}) throw new Error('beyond')
        frame.out.angle.value[row] = frame.in.angle.value[row]
        frame.out.angle.quality[row] = frame.in.angle.quality[row]
      }
    },
  })
`
/** The shipped chain with the own block before the stop cue's smoother. */
const FILE = {
  ...dieEncoderChain,
  blocks: [...dieEncoderChain.blocks, { id: 'own', kind: 'hand-on' }],
  connections: [
    ...dieEncoderChain.connections.filter(({ to }) => to !== 'smoother.angle'),
    { from: 'datum.angle', to: 'own.angle' },
    { from: 'own.angle', to: 'smoother.angle' },
  ],
}
const ASK = { file: FILE, who: 'Quality', why: 'Trial of an own block.' }

let data: string
let folder: string
let rig: ReturnType<typeof makeRig>
async function begin(from: string | null) {
  const catalogue = from === null ? SHIPPED : await catalogueWith(from)
  rig = makeRig({ seed: 11, dataDir: data, catalogue })
  rig.station.start()
  rig.clock.advance(2)
}
async function beginAgain(from: string | null) {
  await rig.station.stop()
  rig.history.close()
  await begin(from)
}
const write = (limitDeg: number) => writeFileSync(join(folder, 'hand-on.mjs'), source(limitDeg))
const noticeOf = (id: string) => rig.station.state().notices.find((one) => one.id === id)?.text

beforeEach(async () => {
  data = mkdtempSync(join(tmpdir(), 'overbend-own-data-'))
  folder = mkdtempSync(join(tmpdir(), 'overbend-own-'))
  write(1000)
  await begin(folder)
  rig.station.useSetup(SETUP)
  rig.station.useJob(JOB)
})
afterEach(async () => {
  await rig.close()
  rmSync(data, { recursive: true })
  rmSync(folder, { recursive: true })
})

function bendUntil(count: number) {
  rig.station.bench({ mode: 'self' })
  for (let s = 0; s < 600 && rig.history.count() < count; s += 0.1) rig.clock.advance(0.1)
  rig.station.bench({ mode: 'hand' })
  rig.clock.advance(2)
  expect(rig.history.count()).toBe(count)
}

test('revision and record name the code; a re-run with it is alike, with other code refused', async () => {
  rig.station.chain.apply(ASK)
  bendUntil(1)
  const [own] = rig.station.chain.view().own
  expect(own).toMatchObject({ kind: 'hand-on', file: 'hand-on.mjs', failures: 0 })
  expect(rig.history.raw(1)?.chain).toContain(`"code":"${own?.sha256}"`)
  expect(rig.history.newestChain('die-encoder')?.chain).toContain(`"code":"${own?.sha256}"`)
  const trace = await rig.station.trace(1)
  expect(trace?.tS.length).toBeGreaterThan(100)
  expect(noticeOf('own-blocks')).toContain(`hand-on.mjs (${own?.sha256.slice(0, 12)}…)`)

  await beginAgain(folder)
  expect(rig.station.chain.view().revision).toBe('die-encoder r2')
  expect(await rig.station.trace(1)).toEqual(trace)

  write(999)
  await beginAgain(folder)
  expect(rig.station.chain.view().revision).toBe('die-encoder r1')
  expect(noticeOf('chain')).toMatch(/^Revision die-encoder r2.*"own" was put in with other code/)
  await expect(rig.station.trace(1)).rejects.toThrow(
    /^Bend 1 cannot be run again.*other code.*its raw lines are kept\.$/,
  )

  await beginAgain(null)
  expect(noticeOf('own-blocks')).toBeUndefined()
  expect(noticeOf('chain')).toMatch(/there is no block "hand-on"/)
})

test('a proof loads the same folder, and notices when its file is another by then', async () => {
  bendUntil(1)
  const proved = await rig.station.chain.prove({ file: FILE, bends: [1] })
  expect(proved.bends[0]).toMatchObject({ id: 1, why: null })
  expect(proved.bends[0]?.after?.peakDeg).toBe(rig.history.bend(1)?.peakDeg)
  write(998)
  const other = await rig.station.chain.prove({ file: FILE, bends: [1] })
  expect(other.bends[0]).toMatchObject({ before: null, after: null })
  expect(other.bends[0]?.why).toMatch(/other code/)
})

test('a step that throws in a bend: the bend is recorded, the block named and counted', async () => {
  write(20)
  await beginAgain(folder)
  // Beside the way of the angle: without a rate nobody would be told to stop.
  const beside = [...dieEncoderChain.connections, { from: 'datum.angle', to: 'own.angle' }]
  rig.station.chain.apply({ ...ASK, file: { ...FILE, connections: beside } })
  bendUntil(1)
  expect(rig.history.bend(1)).toMatchObject({ verdict: 'in', chainRevision: 'die-encoder r2' })
  expect(noticeOf('own-block-hand-on')).toMatch(
    /own block hand-on\.mjs failed \(\d+ times by now\): it threw: beyond/,
  )
  expect(rig.station.chain.view().own[0]?.failures).toBeGreaterThan(0)
  expect(rig.history.verify().intact).toBe(true)
})
