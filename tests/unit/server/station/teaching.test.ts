import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import type { TeachingAsk } from '../../../../server/messages/acts.ts'
import type { Setup } from '../../../../server/messages/setup.ts'
import { makeBendActs } from '../../../../server/station/bend-acts.ts'
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
  // The aim at the middle rests on the tube alone, not on the hand that stops it.
  costs: { oneMoreGo: 1, scrap: 1 },
}
const ask = (change: Partial<TeachingAsk> = {}): TeachingAsk => ({
  ...{ who: 'Quality', decision: 'taken-out', reason: 'The clamp had slipped.' },
  ...change,
})

let folder: string
let rig: ReturnType<typeof makeRig>
function begin() {
  rig = makeRig({ seed: 11, dataDir: folder })
  rig.station.start()
  rig.clock.advance(2)
}
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'overbend-teaching-'))
  begin()
  rig.station.useSetup(SETUP)
  rig.station.useJob(JOB)
})
afterEach(async () => {
  await rig.close()
  rmSync(folder, { recursive: true })
})

const aimDeg = () => rig.station.state().aim?.commandedDeg ?? Number.NaN
const isAtRest = () => rig.station.state().phase === 'no-datum'

/** The bench's own operator bends on until so many are on record, and stops between two bends. */
function bendUntil(count: number) {
  rig.station.bench({ mode: 'self' })
  for (let s = 0; s < 600 && !(rig.history.count() >= count && isAtRest()); s += 0.1)
    rig.clock.advance(0.1)
  rig.station.bench({ mode: 'hand' })
  expect(rig.history.count()).toBe(count)
}

const actsOf = () =>
  makeBendActs({
    history: rig.history,
    clock: rig.clock,
    software: '0.1.0',
    teaching: () => [rig.station.teaching],
  })
const decide = (id: number, change: Partial<TeachingAsk> = {}) =>
  actsOf().add('teaching', rig.history.bend(id)!, ask(change), 'typed')

test('a bend taken out teaches no more, put back as found it does again, and a restart agrees', async () => {
  const before = aimDeg()
  bendUntil(1)
  const after = aimDeg()
  expect(after).not.toBe(before)
  decide(1)
  expect(aimDeg()).toBe(before)
  await rig.station.stop()
  rig.history.close()
  begin()
  expect(aimDeg()).toBe(before)
  decide(1, { decision: 'as-found' })
  expect(aimDeg()).toBe(after)
  expect(rig.history.actsOn(1)).toMatchObject([{ decision: 'taken-out' }, { decision: 'as-found' }])
  expect(rig.history.verify().intact).toBe(true)
})

function bendUntilPhase(phase: string) {
  rig.station.bench({ mode: 'self' })
  for (let s = 0; s < 60 && rig.station.state().phase !== phase; s += 0.1) rig.clock.advance(0.1)
  expect(rig.station.state().phase).toBe(phase)
}

test('what is decided in mid-bend is on record at once and taken up after the bend, as after a restart', async () => {
  bendUntil(1)
  const aim = aimDeg()
  bendUntilPhase('bending')
  const { leadS } = rig.station.state()
  decide(1)
  expect(rig.history.actsOn(1)).toMatchObject([{ decision: 'taken-out' }])
  // What was foretold of the bend in hand stays, and so does where its stop is called.
  rig.clock.advance(0.1)
  expect(aimDeg()).toBe(aim)
  expect(rig.station.state().leadS).toBe(leadS)
  bendUntil(2)
  const bend = rig.history.bend(2)!
  expect(bend.prediction?.bendsLearned).toBe(1)
  expect(bend.leadS).toBe(leadS)
  // The bend in hand alone has taught the next one.
  const { aim: next, leadS: nextLeadS } = rig.station.state()
  expect(next?.bendsLearned).toBe(1)
  expect(nextLeadS).not.toBe(leadS)
  await rig.station.stop()
  rig.history.close()
  begin()
  expect(rig.station.state().aim).toEqual(next)
  expect(rig.station.state().leadS).toBe(nextLeadS)
  expect(rig.history.verify().intact).toBe(true)
})

test('a crash in mid-bend forgets nothing of what was decided during it', async () => {
  const before = aimDeg()
  bendUntil(1)
  bendUntilPhase('bending')
  decide(1)
  rig.history.close()
  begin()
  expect(rig.history.bend(2)).toMatchObject({ closedBy: 'restart', verdict: 'incomplete' })
  expect(aimDeg()).toBe(before)
})

test('a record that a disk refuses leaves the model as it was', () => {
  bendUntil(1)
  const aim = aimDeg()
  const bend = rig.history.bend(1)!
  rig.history.close()
  expect(() => actsOf().add('teaching', bend, ask(), 'typed')).toThrow(/closed/)
  expect(aimDeg()).toBe(aim)
})
