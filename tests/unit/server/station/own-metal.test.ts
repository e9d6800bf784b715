import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { OwnMaterial } from '../../../../server/messages/material.ts'
import type { Job, Setup } from '../../../../server/messages/setup.ts'
import { makeRig } from '../../../support/station-rig.ts'

const BRONZE: OwnMaterial = {
  knownFrom: 'figures',
  source: 'certificate of the mill',
  modulusGpa: 105.3,
  yieldMpa: 215.7,
  strengthMpa: 640.1,
  exponent: 0.271,
}
const UNKNOWN: OwnMaterial = { knownFrom: 'bends' }
const setupOf = (ownMaterial: OwnMaterial, material = 'Silicon bronze'): Setup => ({
  station: 'Bench bender',
  die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material, lot: 'RT-1', ownMaterial },
  sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
})
const JOB: Job = {
  part: 'rail',
  piece: 1,
  bendNumber: 1,
  wantedDeg: 90,
  toleranceDeg: 1,
  operator: 'N',
}

let dataDir: string
const closing: (() => Promise<void>)[] = []
beforeEach(() => {
  dataDir = mkdtempSync(join(tmpdir(), 'overbend-own-metal-'))
})
afterEach(async () => {
  for (const close of closing.splice(0)) await close()
  rmSync(dataDir, { recursive: true })
})

function start() {
  const rig = makeRig({ seed: 11, dataDir })
  let isOpen = true
  const close = async () => {
    if (isOpen) await rig.close()
    isOpen = false
  }
  closing.push(close)
  rig.station.start()
  rig.clock.advance(1)
  return { ...rig, close }
}

describe.each([
  { name: 'by its figures', ownMaterial: BRONZE },
  { name: 'from its bends alone', ownMaterial: UNKNOWN },
])('a metal of the shop’s own, known $name', ({ ownMaterial }) => {
  test('is bent, is in the record with all its figures, and foretells the same after a restart', async () => {
    const before = start()
    before.station.useSetup(setupOf(ownMaterial))
    before.station.useJob(JOB)
    const firstAim = before.station.state().aim
    for (let s = 0; s < 600 && before.history.count() < 3; s++) before.clock.advance(1)
    expect(before.history.count()).toBeGreaterThanOrEqual(3)
    const bend = before.history.bend(1)
    const stored = before.station.state().setup
    expect(bend?.tube).toEqual(stored?.setup.tube)
    expect(bend?.tube.ownMaterial).toMatchObject(ownMaterial)
    expect(bend?.tube.ownMaterial?.slopeSpread).toBe(ownMaterial === UNKNOWN ? 0.4 : 0.22)
    expect(bend?.learned).toBe('yes')
    await before.close()

    const after = start()
    const { aim, setup } = after.station.state()
    expect(setup).toEqual(stored)
    expect(aim?.why).toMatch(/^After \d bends of this set-up/)
    expect(aim?.commandedDeg).not.toBe(firstAim?.commandedDeg)
    expect(after.history.verify()).toMatchObject({ intact: true })
    await after.close()
    const third = start()
    expect(third.station.state().aim).toEqual(aim)
  })
})

test('the daemon that goes on and the one that was started anew foretell the same to the last digit', async () => {
  const before = start()
  before.station.useSetup(setupOf(BRONZE))
  before.station.useJob(JOB)
  for (let s = 0; s < 600 && before.history.count() < 3; s++) before.clock.advance(1)
  // Between bends: nothing is in hand that a restart would cut off.
  for (let s = 0; s < 60 && before.station.state().phase !== 'no-datum'; s++)
    before.clock.advance(0.1)
  const { aim } = before.station.state()
  const count = before.history.count()
  await before.close()
  const after = start()
  expect(after.history.count()).toBe(count)
  expect(after.station.state().aim).toEqual(aim)
})

describe('two metals of one name', () => {
  test('with other figures teach each other nothing; with the same they share', () => {
    const { station, clock, history } = start()
    const whyOf = (setup: Setup) => {
      station.useSetup(setup)
      return station.state().aim?.why
    }
    station.useSetup(setupOf(BRONZE))
    station.useJob(JOB)
    for (let s = 0; s < 600 && history.count() < 2; s++) clock.advance(1)
    for (let s = 0; s < 60 && station.state().phase !== 'no-datum'; s++) clock.advance(0.1)
    const another = (own: OwnMaterial) => ({
      ...setupOf(own),
      tube: { ...setupOf(own).tube, lot: 'RT-2' },
    })
    expect(whyOf(another(BRONZE))).toMatch(/from \d bends of its material/)
    expect(whyOf(another({ ...BRONZE, yieldMpa: 220 }))).toMatch(/section's mechanics/)
    expect(whyOf(another(UNKNOWN))).toMatch(/section's mechanics/)
  })
})

describe('what cannot be', () => {
  test.each([
    [
      'a wall thicker than the radius',
      { ...setupOf(BRONZE), die: { name: 'd', odMm: 38.1, clrMm: 15 } },
    ],
    ['a modulus of 0', setupOf({ ...BRONZE, modulusGpa: 0 })],
    ['a name of the table', setupOf(BRONZE, '6061-t6')],
  ])('%s: nothing is stored, what was in force stays', (_name, setup) => {
    const { station, history } = start()
    station.useSetup(setupOf(BRONZE))
    station.useJob(JOB)
    const before = station.state()
    expect(() => station.useSetup(setup)).toThrow(/^["A-Z].*\.$/)
    expect(history.setups()).toHaveLength(1)
    expect(station.state()).toEqual(before)
  })
})
