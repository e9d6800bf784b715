import { describe, expect, test } from 'vitest'
import { axesOf, axesParametersOf } from '../../../../server/station/axes-entry.ts'
import { ReadoutDesk, type ReadoutMoment } from '../../../../server/station/readout-desk.ts'
import { makeFakeHistory } from '../../../support/fake-history.ts'
import { newSixPositions, SETUP } from '../history/shop.ts'

const at = (xG: number, yG: number, zG: number) => ({ xG, yG, zG })
/** Offsets 0.02, −0.01 and 0.05 g; gains 1.01, 1 and 0.98. */
const SIX = [
  at(1.03, -0.01, 0.05),
  at(-0.99, -0.01, 0.05),
  at(0.02, 0.99, 0.05),
  at(0.02, -1.01, 0.05),
  at(0.02, -0.01, 1.03),
  at(0.02, -0.01, -0.93),
]
const ASK = { who: 'Quality', positions: SIX }

describe('axesOf', () => {
  test('offset and gain of each axis, to a millionth of a g', () => {
    expect(axesOf(ASK)).toEqual({
      positions: SIX,
      x: { offsetG: 0.02, unitG: 1.01 },
      y: { offsetG: -0.01, unitG: 1 },
      z: { offsetG: 0.05, unitG: 0.98 },
    })
  })

  test('a refusal is one for the page, a mistake is none', () => {
    expect(() => axesOf({ ...ASK, positions: SIX.slice(1) })).toThrow(
      expect.objectContaining({ code: 'calibration-refused' }),
    )
    expect(() => axesOf({ ...ASK, positions: null as unknown as typeof SIX })).toThrow(TypeError)
  })

  test('the chain takes them by name', () => {
    const entry = { ...newSixPositions(), ...axesOf(ASK), id: 1, previousHash: 'a', hash: 'b' }
    expect(axesParametersOf(entry)).toEqual({
      ...{ xOffsetG: 0.02, yOffsetG: -0.01, zOffsetG: 0.05, xUnitG: 1.01, yUnitG: 1, zUnitG: 0.98 },
    })
  })
})

/** A desk by itself, with an inclinometer. */
function makeDesk(change: Partial<ReadoutMoment> = {}) {
  const setup = { ...SETUP, sensor: { ...SETUP.sensor, mount: 'swing-tilt' as const } }
  const stored = { id: 1, createdAt: '2026-01-05T06:00:00Z', setup }
  let begun = 0
  const desk = new ReadoutDesk({
    history: makeFakeHistory(),
    clock: { nowS: () => 0, wallMs: () => Date.UTC(2026, 0, 5, 8) },
    software: 'test',
    moment: () => ({
      setup: stored,
      phase: 'no-datum',
      isOpen: false,
      device: null,
      simulated: true,
      counts: 16_384,
      gravity: at(0, 0, 1),
      wantedDeg: 90,
      ...change,
    }),
    recalibrated: () => {
      begun++
    },
    checked: () => undefined,
  })
  return { desk, stored, begun: () => begun }
}
const KNOWN = {
  who: 'Quality',
  gauge: { name: 'Blocks', certificate: '' },
  toleranceDeg: 0.5,
  points: [0, 90].map((deg) => ({
    ...{ readoutDeg: deg, readoutSdDeg: 0, knownDeg: deg, standardDeg: 0.05 },
  })),
}

describe('a calibration of the axes', () => {
  test('is entered, is in force, and the chain begins anew with it', () => {
    const { desk, stored, begun } = makeDesk()
    expect(desk.use(stored)).toBe(false)
    const entry = desk.calibrateAxes(ASK)
    expect(entry).toMatchObject({ id: 1, kind: 'six-positions', z: { offsetG: 0.05 } })
    expect(desk.state().axes).toEqual(entry)
    expect(begun()).toBe(1)
    expect(desk.use(stored)).toBe(true)
  })

  test('voids the known angles read before it, and not those after', () => {
    const { desk } = makeDesk()
    desk.calibrate(KNOWN)
    expect(desk.state().calibration?.id).toBe(1)
    desk.calibrateAxes(ASK)
    expect(desk.state().calibration).toBeNull()
    desk.calibrate(KNOWN)
    expect(desk.state().calibration?.id).toBe(3)
  })

  test('is refused in mid-bend and without a set-up', () => {
    const refusing = (change: Partial<ReadoutMoment>) => () =>
      makeDesk(change).desk.calibrateAxes(ASK)
    expect(refusing({ isOpen: true })).toThrow(expect.objectContaining({ code: 'not-now' }))
    expect(refusing({ setup: null })).toThrow(expect.objectContaining({ code: 'no-setup' }))
  })

  test('is read off the board, where it has axes', () => {
    expect(makeDesk().desk.captureAxes()).toEqual(at(0, 0, 1))
    expect(() => makeDesk({ gravity: null }).desk.captureAxes()).toThrow(
      expect.objectContaining({ code: 'no-signal', message: expect.stringMatching(/axes/) }),
    )
  })
})

test('a count of an inclinometer is an arctangent’s step: 1/countsPerG radians', () => {
  const { desk, stored } = makeDesk()
  desk.use(stored)
  const step = desk.state().uncertainty!.lines.find(({ name }) => name === 'readout step')!
  // 0.061 mg a count is 0.003495° near level (by hand: 0.000061 · 180/π), a/√12 of it a rectangle's.
  expect(step.standardDeg).toBeCloseTo(180 / Math.PI / 16_384 / Math.sqrt(12), 12)
})
