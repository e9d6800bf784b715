import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, describe, expect, test, vi } from 'vitest'
import { HistoryError } from '../../../../server/history/errors.ts'
import type { Samples } from '../../../../server/messages/live.ts'
import type { CalibrationAsk, ReferencePieceAsk } from '../../../../server/messages/readout.ts'
import type { Setup } from '../../../../server/messages/setup.ts'
import { Refused } from '../../../../server/web/station-door.ts'
import { makeRig, type RigOptions } from '../../../support/station-rig.ts'
import { newCheck, newPiece } from '../history/shop.ts'

// Every entry waits for the disk, and a busy one takes its time.
vi.setConfig({ testTimeout: 60_000 })

const setup = (sensor: Partial<Setup['sensor']> = {}, station = 'Bench bender'): Setup => ({
  station,
  die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'RT-1' },
  sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward', ...sensor },
})
const JOB = { part: 'rail', piece: 1, bendNumber: 1, wantedDeg: 20, toleranceDeg: 1, operator: 'N' }

const point = (readoutDeg: number, knownDeg: number) => ({
  ...{ readoutDeg, readoutSdDeg: 0.01, knownDeg, standardDeg: 0.05 },
})
const calibration = (more: Partial<CalibrationAsk> = {}): CalibrationAsk => ({
  who: 'Quality',
  gauge: { name: 'Angle blocks', certificate: 'C-17' },
  toleranceDeg: 0.5,
  points: [point(0, 0), point(100, 90)],
  ...more,
})
const piece = (more: Partial<ReferencePieceAsk> = {}): ReferencePieceAsk => ({
  who: 'Quality',
  name: 'REF-15',
  knownDeg: 15,
  standardDeg: 0.05,
  gauge: { name: 'Coordinate machine', certificate: '' },
  limitDeg: 0.5,
  ...more,
})

const ends: (() => Promise<void> | void)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

/** A station whose bender is worked by hand. */
function start(options: Omit<RigOptions, 'seed'> & { readonly bare?: boolean } = {}) {
  const { bare = false, ...rest } = options
  const rig = makeRig({ seed: 7, ...rest })
  ends.push(rig.close)
  const { station, clock } = rig
  let angleDeg = Number.NaN
  station.subscribe((message) => {
    if (message.type === 'samples') angleDeg = (message as Samples).angleDeg.at(-1) ?? angleDeg
  })
  station.start()
  station.bench({ mode: 'hand' })
  clock.advance(3)
  if (!bare) {
    station.useSetup(setup())
    station.useJob(JOB)
    // The chain of a set-up may be a new one: a second of readings makes it speak.
    clock.advance(3)
  }
  return {
    ...rig,
    angleDeg: () => angleDeg,
    datum() {
      clock.advance(5)
      station.act({ act: 'datum' })
      clock.advance(2)
    },
    advanceTo(stopDeg: number) {
      station.bench({ ram: 'advance' })
      for (let tick = 0; tick < 4000 && !(angleDeg > stopDeg); tick++) clock.advance(0.02)
      expect(angleDeg).toBeGreaterThan(stopDeg)
      station.bench({ ram: 'hold' })
      clock.advance(2)
    },
  }
}

function refusalOf(work: () => unknown): Refused {
  try {
    work()
  } catch (error) {
    if (error instanceof Refused) return error
    throw error
  }
  throw new Error('It was not refused.')
}

function ownFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-readout-'))
  ends.push(() => rmSync(folder, { recursive: true }))
  return folder
}

describe('capture', () => {
  test('is the mean of the last second of a die that stands still', () => {
    const { station, clock } = start()
    // The next tube is put in first, and turns the die as it is.
    clock.advance(5)
    const { readoutDeg, readoutSdDeg, samples } = station.readout.capture()
    expect(Number.isFinite(readoutDeg)).toBe(true)
    expect(readoutSdDeg).toBeLessThan(0.2)
    expect(samples).toBeGreaterThan(50)
  })

  test('is before calibration and datum: neither moves it', () => {
    const bender = start()
    bender.clock.advance(5)
    const before = bender.station.readout.capture().readoutDeg
    bender.station.readout.calibrate(calibration())
    bender.datum()
    expect(bender.station.readout.capture().readoutDeg).toBeCloseTo(before, 1)
  })

  test('is refused while it moves, and just after', () => {
    const { station, clock } = start()
    station.bench({ ram: 'advance' })
    clock.advance(4)
    expect(refusalOf(() => station.readout.capture()).code).toBe('not-still')
  })
})

describe('a calibration', () => {
  test('is in force from then on: the angle, its uncertainty and the state', () => {
    const bender = start()
    const { station } = bender
    const before = station.state().uncertaintyDeg!
    expect(station.readout.state().calibration).toBeNull()
    const entry = station.readout.calibrate(calibration())
    expect(entry).toMatchObject({ id: 1, station: 'Bench bender', turnDeg: 324, curve: 'line' })
    expect(station.readout.state().calibration).toEqual(entry)
    bender.clock.advance(3)
    expect(station.state().uncertaintyDeg).toBeGreaterThan(before)
    const names = station.readout.state().uncertainty!.lines.map(({ name }) => name)
    expect(names).toEqual(expect.arrayContaining(['calibration curve', 'gauge', 'readout step']))
    bender.datum()
    const zeroDeg = station.readout.capture().readoutDeg
    bender.advanceTo(12)
    const movedDeg = station.readout.capture().readoutDeg - zeroDeg
    expect(bender.angleDeg() / movedDeg).toBeCloseTo(0.9, 2)
  })

  test('is named in each bend by number and hash, and verify follows it', () => {
    const bender = start()
    const { station, history } = bender
    const entry = station.readout.calibrate(calibration())
    bender.clock.advance(3)
    bender.datum()
    bender.advanceTo(12)
    station.act({ act: 'abandon' })
    const bend = history.bend(1)!
    expect(bend.calibration).toBe(`Calibration 1 of ${entry.at}`)
    expect(bend.readout).toMatchObject({
      calibration: { number: 1, at: entry.at, hash: entry.hash },
      check: null,
      standing: 'none',
    })
    expect(history.verify()).toMatchObject({ intact: true, readout: { entries: 1 } })
  })

  test('a trial shows it and enters nothing', () => {
    const { station, history } = start()
    expect(station.readout.tryCalibration(calibration()).turnDeg).toBe(324)
    expect(history.readoutEntry(1)).toBeNull()
    expect(station.readout.state().calibration).toBeNull()
  })

  test('is in force again after a restart, and takes the datum along when it comes', () => {
    const dataDir = ownFolder()
    const first = makeRig({ seed: 7, dataDir })
    first.station.start()
    first.clock.advance(3)
    first.station.useSetup(setup())
    first.station.useJob(JOB)
    first.clock.advance(3)
    first.station.readout.calibrate(calibration())
    expect(first.station.state().phase).toBe('no-datum')
    return first.close().then(() => {
      const again = start({ dataDir, bare: true })
      expect(again.station.readout.state().calibration?.id).toBe(1)
      again.datum()
      const zeroDeg = again.station.readout.capture().readoutDeg
      again.advanceTo(10)
      const movedDeg = again.station.readout.capture().readoutDeg - zeroDeg
      expect(again.angleDeg() / movedDeg).toBeCloseTo(0.9, 2)
    })
  })

  test('is that of one bender and one sensor', () => {
    const { station } = start()
    station.readout.calibrate(calibration())
    station.useSetup(setup({ direction: 'reversed' }))
    expect(station.readout.state().calibration).toBeNull()
    station.useSetup(setup({}, 'Other bender'))
    expect(station.readout.state().calibration).toBeNull()
    station.useSetup(setup())
    expect(station.readout.state().calibration?.id).toBe(1)
  })

  test('is refused without a set-up, in mid-bend, and when the points make none', () => {
    const bare = start({ bare: true })
    expect(refusalOf(() => bare.station.readout.calibrate(calibration())).code).toBe('no-setup')
    const bender = start()
    const twice = calibration({ points: [point(5, 45), point(50, 45)] })
    expect(refusalOf(() => bender.station.readout.calibrate(twice)).code).toBe(
      'calibration-refused',
    )
    bender.datum()
    bender.advanceTo(8)
    expect(refusalOf(() => bender.station.readout.calibrate(calibration())).code).toBe('not-now')
    expect(bender.history.readoutEntry(1)).toBeNull()
  })

  test('that the disk refuses is not in force', () => {
    const { station } = start({
      throughHistory: (history) => ({
        ...history,
        addReadoutEntry() {
          throw new HistoryError('HISTORY_DISK_FULL')
        },
      }),
    })
    expect(() => station.readout.calibrate(calibration())).toThrow(HistoryError)
    expect(station.readout.state().calibration).toBeNull()
  })
})

describe('a check with a reference piece', () => {
  test('compares, closes what was taken for a bend, and stands in the state', () => {
    const bender = start()
    const { station, history, clock } = bender
    expect(station.state().verification).toBeNull()
    const ref = station.readout.addPiece(piece({ limitDeg: 5 }))
    expect(ref).toMatchObject({ id: 1, everyDays: 7 })
    expect(station.state().notices.map(({ id }) => id)).toContain('check')
    bender.datum()
    bender.advanceTo(15)
    const shownDeg = bender.angleDeg()
    const entry = station.readout.check({ who: 'Quality', piece: 1 })
    expect(entry.readoutDeg).toBeCloseTo(shownDeg, 1)
    expect(entry.differenceDeg).toBeCloseTo(entry.readoutDeg - 15, 6)
    expect(entry).toMatchObject({ passed: true, piece: 1, calibration: null })
    clock.advance(1)
    const state = station.state()
    expect(state.verification).toBe(entry.at)
    expect(state.notices.map(({ id }) => id)).not.toContain('check')
    expect(state).toMatchObject({ phase: 'no-datum', job: { bendNumber: 1 } })
    expect(history.bend(1)).toMatchObject({
      closedBy: 'reference piece',
      learned: 'no',
      notLearnedWhy: 'It was a reference piece, no bend.',
    })
  })

  test('that fails marks the bends after it', () => {
    const bender = start()
    const { station, history, clock } = bender
    station.readout.addPiece(piece({ knownDeg: 40, limitDeg: 0.1 }))
    bender.datum()
    bender.advanceTo(12)
    expect(station.readout.check({ who: 'Quality', piece: 1 }).passed).toBe(false)
    clock.advance(1)
    expect(station.state().notices.find(({ id }) => id === 'check')).toMatchObject({
      kind: 'doubt',
      text: expect.stringContaining('off its reference piece'),
    })
    station.bench({ ram: 'retract' })
    clock.advance(15)
    station.bench({ ram: 'hold' })
    bender.datum()
    bender.advanceTo(8)
    station.act({ act: 'abandon' })
    const last = history.bend(history.count())!
    expect(last.readout).toMatchObject({ standing: 'failed', check: { number: 2, passed: false } })
    expect(last.verification).toMatch(/^Check 2 of .*: failed$/)
  })

  test('that is overdue marks the bends made until then', () => {
    const dataDir = ownFolder()
    const before = makeRig({ seed: 1, dataDir })
    const { history } = before
    const { sensor, station } = setup()
    const old = { station, sensor, at: '2001-01-05T06:50:00.000Z' }
    history.addReadoutEntry(newPiece({ station }))
    history.addReadoutEntry(newCheck({ ...old, piece: 1, calibration: null }))
    return before.close().then(() => {
      const bender = start({ dataDir })
      expect(bender.station.readout.state()).toMatchObject({ standing: 'overdue', dueAt: null })
      bender.datum()
      bender.advanceTo(8)
      bender.station.act({ act: 'abandon' })
      const bend = bender.history.bend(1)!
      expect(bend.readout).toMatchObject({ standing: 'overdue', check: { number: 2 } })
      expect(bend.readout?.why).toContain('days old')
      expect(bend.verification).toMatch(/now overdue$/)
    })
  })

  test('needs a piece of this bender, a datum, and a die that stands', () => {
    const bender = start()
    const { station, clock } = bender
    const check = () => station.readout.check({ who: 'Quality', piece: 1 })
    expect(refusalOf(check).code).toBe('no-such-piece')
    station.readout.addPiece(piece())
    expect(refusalOf(check).code).toBe('no-datum')
    bender.datum()
    station.bench({ ram: 'advance' })
    clock.advance(3)
    expect(refusalOf(check).code).toBe('not-still')
    station.bench({ ram: 'hold' })
    clock.advance(2)
    expect(station.readout.check({ who: 'Quality', piece: 1 }).id).toBe(2)
    expect(station.readout.chart(1)).toMatchObject({ checks: [{ id: 2 }], limits: null })
    expect(refusalOf(() => station.readout.chart(2)).code).toBe('no-such-piece')
  })
})
