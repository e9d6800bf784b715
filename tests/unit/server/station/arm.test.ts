import { afterEach, describe, expect, test } from 'vitest'
import type { BendTruth } from '../../../../firmware-protocol/bench/workshop.ts'
import type { NewBend } from '../../../../server/messages/bends.ts'
import type { Sensor } from '../../../../server/messages/sensor.ts'
import { PRESSURE } from '../../../support/mount-rig.ts'
import { makeRig, type RigOptions } from '../../../support/station-rig.ts'

const rigs: { close(): Promise<void> }[] = []
afterEach(async () => {
  for (const rig of rigs.splice(0)) await rig.close()
})

/** A station on the bench, whose operator bends by the daemon's own prompt. */
function start(options: Omit<RigOptions, 'throughLink'>, sensor: Partial<Sensor>, wantedDeg = 40) {
  const rig = makeRig(options)
  rigs.push(rig)
  const { station, clock, bench } = rig
  const made: { bend: NewBend; truth: BendTruth }[] = []
  station.onRecorded((bend) => {
    const truth = bench.truth()
    if (truth) made.push({ bend, truth })
  })
  station.start()
  clock.advance(1)
  station.useSetup({
    station: 'Bench bender',
    die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
    tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'RT-2207' },
    sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward', ...sensor },
  })
  const job = { part: 'rail', piece: 1, bendNumber: 1, operator: 'N' }
  station.useJob({ ...job, wantedDeg, toleranceDeg: 1 })
  const until = (isThere: () => boolean) => {
    for (let tick = 0; tick < 3000 && !isThere(); tick++) clock.advance(0.02)
    expect(isThere()).toBe(true)
  }
  return { ...rig, made, until }
}

/** Errors of many bends against the model's truth, degrees. */
function errorsOf(made: ReturnType<typeof start>['made']) {
  const whole = made.filter(({ bend }) => bend.closedBy === 'accepted')
  const worst = (errors: readonly number[]) => Math.max(...errors.map(Math.abs))
  return {
    count: whole.length,
    peakDeg: worst(whole.map(({ bend, truth }) => (bend.peakDeg ?? 99) - truth.peakDeg)),
    releasedDeg: worst(
      whole.map(({ bend, truth }) => (bend.releasedDeg ?? 99) - truth.releasedDeg),
    ),
  }
}

describe.each([1, 2, 3])('many bends on the bench, seed %i', (seed) => {
  test('on the arm with a pressure', () => {
    const { made, clock } = start(
      { seed, mount: 'arm', pressure: {} },
      { mount: 'arm', second: PRESSURE },
    )
    clock.advance(150)
    const { count, peakDeg, releasedDeg } = errorsOf(made)
    expect(count).toBeGreaterThan(5)
    expect(peakDeg).toBeLessThan(0.1)
    expect(releasedDeg).toBeLessThan(0.05)
    expect(made.every(({ bend }) => bend.releasedFrom === 'pressure' && bend.hits === 1)).toBe(true)
  })

  test('on an arm that takes new bites, by its way alone', () => {
    const { made, clock } = start(
      { seed, mount: 'ratchet-arm' },
      { mount: 'arm', arm: { biteDeg: 20, backlashDeg: 1.4 } },
      90,
    )
    clock.advance(200)
    const accepted = made.filter(({ bend }) => bend.closedBy === 'accepted')
    expect(accepted.length).toBeGreaterThan(2)
    // Two new bites, each with the noise of four readings.
    for (const { bend, truth } of accepted) {
      expect(bend.goes.map(({ strokes }) => strokes)).toEqual([3])
      expect(Math.abs((bend.peakDeg ?? 99) - truth.peakDeg)).toBeLessThan(0.2)
      expect(bend.releasedFrom).toBe('unknown')
    }
  })
})

describe('on the arm alone', () => {
  const bent = () => {
    const shop = start({ seed: 5, mount: 'arm' }, { mount: 'arm' })
    shop.until(() => shop.station.state().phase === 'settled')
    // From here on nobody presses the pedal, so that the bend waits.
    shop.station.bench({ mode: 'hand' })
    return shop
  }

  test('that it touches the tube is the word of whoever says so', () => {
    const { station, clock } = bent()
    clock.advance(1)
    station.act({ act: 'touch' })
    const { go, verdict } = station.state().result ?? {}
    expect(go).toMatchObject({ releasedFrom: 'touch' })
    expect(go?.releasedDeg).toBeLessThan(40)
    expect(verdict).not.toBe('incomplete')
    expect(() => station.act({ act: 'touch' })).toThrow('is known already')
  })

  test('an arm that has gone back for a new bite touches nothing', () => {
    const { station, clock, until } = start(
      { seed: 5, mount: 'arm' },
      { mount: 'arm', arm: { biteDeg: 2, backlashDeg: 0 } },
    )
    until(() => station.state().phase === 'settled')
    station.bench({ mode: 'hand' })
    clock.advance(1.5)
    expect(() => station.act({ act: 'touch' })).toThrow(
      'No tube stands where the arm is: bring it back until it touches, or check the angle.',
    )
    expect(station.state().result?.go.releasedDeg).toBeNull()
  })

  test('the bend is judged from an angle that was checked, and can be corrected', () => {
    const { station, history } = bent()
    station.act({ act: 'check', checkedDeg: 38 })
    expect(station.state().result).toMatchObject({
      verdict: 'under',
      errorDeg: -2,
      expandedUncertaintyDeg: null,
    })
    station.act({ act: 'check', checkedDeg: 39.8 })
    expect(station.state().result).toMatchObject({ verdict: 'in', errorDeg: -0.2 })
    station.act({ act: 'accept' })
    expect(history.bend(1)).toMatchObject({
      checkedDeg: 39.8,
      releasedDeg: 39.8,
      releasedSeDeg: null,
      releasedFrom: 'checked',
      verdict: 'in',
      learned: 'yes',
    })
  })

  test('a bend given up says what is not known, and is made again', () => {
    const { station, history } = bent()
    station.act({ act: 'abandon' })
    expect(history.bend(1)).toMatchObject({
      closedBy: 'abandoned',
      releasedFrom: 'unknown',
      learned: 'no',
    })
    expect(station.state().job?.bendNumber).toBe(1)
  })
})

test('an angle that is checked on the die stands beside what was measured', () => {
  const shop = start({ seed: 5 }, {})
  shop.until(() => shop.station.state().phase === 'settled')
  shop.station.bench({ mode: 'hand' })
  const releasedDeg = shop.station.state().result?.go.releasedDeg ?? 0
  const checkedDeg = Math.round(releasedDeg * 2) / 2
  shop.station.act({ act: 'check', checkedDeg })
  shop.station.act({ act: 'accept' })
  const bend = shop.history.bend(1)
  expect(bend?.checkedDeg).toBe(checkedDeg)
  expect(bend?.releasedDeg).not.toBe(checkedDeg)
  expect(bend?.releasedFrom).toBeUndefined()
  expect(Math.abs((bend?.releasedDeg ?? 0) - releasedDeg)).toBeLessThan(0.05)
})
