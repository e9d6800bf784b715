import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { makePointer } from '../../firmware-protocol/bench/pointer.ts'
import { makeRandom } from '../../firmware-protocol/bench/random.ts'
import { ENCODER, makeSensor } from '../../firmware-protocol/bench/sensor.ts'
import { driveBoard } from '../../firmware-protocol/bench/simulated-board.ts'
import { type BendTruth, makeWorkshop } from '../../firmware-protocol/bench/workshop.ts'
import type { Bend } from '../../server/messages/bends.ts'
import type { BendPage } from '../../server/messages/find.ts'
import type { Setup } from '../../server/messages/setup.ts'
import { type Daemon, startDaemon, until } from '../support/daemon.ts'
import { FIRMWARE_NEEDS, plugInFirmware } from '../support/firmware.ts'
import { skipWithout } from '../support/needs.ts'

const SEED = 7
const STOPS_DEG = [10, 15, 20, 25, 30, 35, 40, 60, 90, 12]
const COUNTS_PER_TURN = 4096
/** A tenth of a degree or one step of the encoder, whichever is larger. */
const WITHIN_DEG = Math.max(0.1, 360 / COUNTS_PER_TURN)

/** What the firmware's Makefile sets aside for the stack. */
const STACK_BYTES = 400

const SETUP: Setup = {
  station: 'Bench',
  die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'RT-2207' },
  sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
}

/** The wanted angle is the stop, and the tolerance so wide that no bend is under: else the pedal means "again". */
const jobFor = (at: number) => ({
  part: 'Rail',
  piece: at + 1,
  bendNumber: 1,
  wantedDeg: STOPS_DEG[at] ?? 30,
  toleranceDeg: 20,
  operator: 'Test',
})

/** A workshop whose operator bends to the stops, and what really became of each tube. */
function makeShop() {
  const workshop = makeWorkshop(SEED)
  const point = makePointer(STOPS_DEG)
  const truths: BendTruth[] = []
  const motion = {
    ...workshop,
    advance(dtS: number) {
      workshop.advance(dtS)
      workshop.show(point(workshop.sight()))
    },
  }
  const note = (): void => {
    const truth = workshop.truth()
    if (truth !== null && truth !== truths.at(-1)) truths.push(truth)
  }
  return { motion, truths, note }
}

describe.skipIf(skipWithout(...FIRMWARE_NEEDS))('the real firmware on a simulated board', () => {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-real-'))
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  async function bends(daemon: Daemon, count: number): Promise<readonly Bend[]> {
    const page = await until(
      () => daemon.get<BendPage>('/api/bends?limit=20'),
      ({ total }) => total >= count,
      { seconds: 120, what: `bend ${count}` },
    )
    const oldestFirst = [...page.bends].reverse()
    return await Promise.all(oldestFirst.map(({ id }) => daemon.get<Bend>(`/api/bends/${id}`)))
  }

  test(`ten bends are recorded as they were, seed ${SEED}`, async ({ onTestFinished }) => {
    const board = await plugInFirmware({ COUNTS_PER_TURN }, 'TEN-BENDS')
    onTestFinished(() => board.stop())
    const daemon = await startDaemon(['--serial', board.tty, '--data', join(folder, 'data')])
    onTestFinished(async () => void (await daemon.stop()))
    expect((await daemon.send('PUT', '/api/station/setup', SETUP)).status).toBe(200)
    await daemon.send('PUT', '/api/station/job', jobFor(0))

    const sensor = { ...ENCODER, countsPerTurn: COUNTS_PER_TURN, noiseDeg: 0, zeroDeg: 11.3 }
    const { motion, truths, note } = makeShop()
    const rest = driveBoard(board, motion, makeSensor(sensor, makeRandom(SEED, 'sensor')), note)
    onTestFinished(rest)
    for (let at = 1; at < STOPS_DEG.length; at++) {
      await bends(daemon, at)
      await daemon.send('PUT', '/api/station/job', jobFor(at))
    }
    const recorded = await bends(daemon, STOPS_DEG.length)
    rest()

    const errors = recorded.map((bend, at) => ({
      bend: at + 1,
      peakDeg: (bend.peakDeg ?? Number.NaN) - (truths[at]?.peakDeg ?? Number.NaN),
      releasedDeg: (bend.releasedDeg ?? Number.NaN) - (truths[at]?.releasedDeg ?? Number.NaN),
    }))
    expect(recorded).toHaveLength(STOPS_DEG.length)
    for (const { bend, peakDeg, releasedDeg } of errors) {
      expect(Math.abs(peakDeg), `peak of bend ${bend}`).toBeLessThanOrEqual(WITHIN_DEG)
      expect(Math.abs(releasedDeg), `released angle of bend ${bend}`).toBeLessThanOrEqual(
        WITHIN_DEG,
      )
    }
    expect(recorded.every(({ closedBy }) => closedBy === 'accepted')).toBe(true)
    expect(await board.stackBytes()).toBeLessThan(STACK_BYTES)
  })
})
