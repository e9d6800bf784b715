import { describe, expect, test } from 'vitest'
import { RATCHET_ARM } from '../../../../firmware-protocol/bench/arm.ts'
import { makeDevice } from '../../../../firmware-protocol/bench/device.ts'
import type { Motion } from '../../../../firmware-protocol/bench/motion.ts'
import {
  armOf,
  BENCH_MOUNTS,
  type BenchMount,
  type MountSpec,
} from '../../../../firmware-protocol/bench/mount.ts'
import { makePointer } from '../../../../firmware-protocol/bench/pointer.ts'
import { makeTransducer, TRANSDUCER } from '../../../../firmware-protocol/bench/pressure.ts'
import { makeRandom } from '../../../../firmware-protocol/bench/random.ts'
import { playScript } from '../../../../firmware-protocol/bench/scripted.ts'
import { makeTiltSensor, TILT_SENSOR } from '../../../../firmware-protocol/bench/tilt-sensor.ts'
import { makeWorkshop, type Workshop } from '../../../../firmware-protocol/bench/workshop.ts'
import { decodeLine } from '../../../../firmware-protocol/codec/decode.ts'

const sentencesOf = (lines: readonly string[]) =>
  lines.flatMap((line) => {
    const decoded = decodeLine(line)
    return decoded.ok ? [decoded.sentence] : []
  })

describe('a tilt sensor', () => {
  const STILL = { ...TILT_SENSOR, noiseG: 0 }
  const read = (deg: number, change = {}) =>
    makeTiltSensor({ ...STILL, ...change }, makeRandom(1, 'test'))(deg)

  test.each([
    [0, 0, 16_384],
    [90, 16_384, 0],
    [30, 8192, 14_189],
    [-90, -16_384, 0],
  ])('at %i° shows gravity on x and z', (deg, x, z) => {
    expect(read(deg)).toEqual({ x, y: expect.closeTo(0, 5), z: expect.closeTo(z, 5) })
  })

  test('under a spindle that stands upright feels nothing of the turn', () => {
    const [one, other] = [read(0, { spindleDeg: 90 }), read(77, { spindleDeg: 90 })]
    expect(one).toEqual(other)
    expect(one.y).toBe(-16_384)
  })

  test('set askew brings part of the plane onto its third axis', () => {
    expect(read(0, { askewDeg: 30 }).y).toBe(8192)
  })

  test('has offsets, and ends at 16 bits', () => {
    expect(read(0, { offsetG: [0.1, 0, 0] }).x).toBe(1638)
    expect(read(0, { countsPerG: 40_000 }).z).toBe(32_767)
  })

  test('has the noise it says it has', () => {
    const sensor = makeTiltSensor({ ...STILL, noiseG: 0.001 }, makeRandom(3, 'noise'))
    const xs = Array.from({ length: 4000 }, () => sensor(0).x / STILL.countsPerG)
    const rms = Math.sqrt(xs.reduce((sum, x) => sum + x * x, 0) / xs.length)
    expect(rms).toBeCloseTo(0.001, 4)
  })
})

test.each([
  [0, 102],
  [250, 921],
  [125, 512],
])('a transducer shows %i bar as %i counts', (bar, counts) => {
  const transducer = makeTransducer({ ...TRANSDUCER, noiseBar: 0 }, makeRandom(1, 'test'))
  expect(transducer(bar)).toBe(counts)
})

describe('a board says what its sensor is', () => {
  test.each(BENCH_MOUNTS)('%s', (mount) => {
    const device = makeDevice({ seed: 2, mount, pressure: {} }, playScript([]))
    const [hello, ...rest] = sentencesOf(device.advance(0.1))
    const isTilt = mount.endsWith('tilt')
    expect(hello).toMatchObject({ sensor: isTilt ? 'accelerometer' : 'incremental' })
    expect(rest.every(({ kind }) => kind === (isTilt ? 'axes' : 'sample'))).toBe(true)
    if (!isTilt) expect(rest[0]).toMatchObject({ second: expect.any(Number) })
  })
})

describe('what a board sends besides', () => {
  const moved = (at: { barBar?: number; dieDeg?: number; armDeg?: number }): Motion => ({
    advance: () => undefined,
    angleDeg: () => at.dieDeg ?? 0,
    armDeg: () => at.armDeg ?? 0,
    pressureBar: () => at.barBar ?? 0,
    takePedal: () => [],
  })
  const readings = (spec: MountSpec, motion: Motion) =>
    sentencesOf(makeDevice({ seed: 2, ...spec }, motion).advance(0.1)).slice(1)

  test.each([
    [0, 0],
    // What friction takes in the slack must not close it.
    [1.5, 0],
    [5, 1],
    [140, 1],
  ])('a switch shows at %d bar %d', (barBar, second) => {
    for (const reading of readings({ switch: true }, moved({ barBar })))
      expect(reading).toMatchObject({ kind: 'sample', second })
  })

  test('a transducer goes before a switch, and without either there is nothing', () => {
    const motion = moved({ barBar: 125 })
    const [both] = readings({ switch: true, pressure: { noiseBar: 0 } }, motion)
    expect(both).toMatchObject({ second: 512 })
    expect(readings({}, motion)[0]).toMatchObject({ second: null })
  })

  test.each([
    ['swing-tilt', 30],
    ['leg-tilt', 30],
    ['arm-tilt', 20],
  ] as const)('the axes of %s turn with their mount', (mount, turnDeg) => {
    const tilt = { noiseG: 0, zeroDeg: 0 }
    const [reading] = readings({ mount, tilt }, moved({ dieDeg: 30, armDeg: 20 }))
    const { x = 0, z = 0 } = reading as { x?: number; z?: number }
    expect((Math.atan2(x, z) * 180) / Math.PI).toBeCloseTo(turnDeg, 1)
  })
})

/** Plays the workshop with its pointer, a millisecond at a time. */
function play(bench: Workshop, stopDeg: number, eachStep: () => void, seconds = 60): void {
  const point = makePointer([stopDeg])
  for (let step = 0; step < seconds * 1000; step++) {
    bench.advance(0.001)
    bench.show(point(bench.sight()))
    eachStep()
  }
}

describe('the arm and the pressure of the workshop', () => {
  const seen = (mount: BenchMount, stopDeg: number, seconds = 30) => {
    const bench = makeWorkshop(3, armOf(mount))
    const steps: { armDeg: number; dieDeg: number; bar: number; contact: string }[] = []
    play(
      bench,
      stopDeg,
      () =>
        steps.push({
          armDeg: bench.armDeg?.() ?? Number.NaN,
          dieDeg: bench.angleDeg(),
          bar: bench.pressureBar?.() ?? Number.NaN,
          contact: bench.sight().contact,
        }),
      seconds,
    )
    return { steps, truth: bench.truth() }
  }

  test('the arm is with the die under load, and leaves the tube that was let off', () => {
    const { steps } = seen('arm', 30)
    const loaded = steps.filter(({ contact }) => contact === 'loaded')
    expect(loaded.length).toBeGreaterThan(1000)
    for (const { armDeg, dieDeg } of loaded) expect(armDeg).toBeCloseTo(dieDeg, 9)
    const standing = steps.filter(({ contact }) => contact === 'standing')
    expect(Math.max(...standing.map(({ armDeg, dieDeg }) => dieDeg - armDeg))).toBeCloseTo(5, 3)
  })

  test('the pressure rises with the moment, and is gone when the tube stands', () => {
    const { steps } = seen('arm', 60)
    const bars = (contact: string) =>
      steps.filter((step) => step.contact === contact).map(({ bar }) => bar)
    expect(Math.max(...bars('loaded'))).toBeGreaterThan(130)
    expect(Math.max(...bars('loaded'))).toBeLessThanOrEqual(140)
    expect(Math.max(...bars('slack'))).toBe(1.5)
    expect(new Set([...bars('standing'), ...bars('free')])).toEqual(new Set([0]))
    // On the way back it is a spring: pressure and angle fall together.
    const back = steps.filter(({ contact }) => contact === 'letting-off')
    const [first, last] = [back[0], back.at(-1)]
    const slope = (first!.bar - last!.bar) / (first!.dieDeg - last!.dieDeg)
    for (const { bar, dieDeg } of back)
      expect(bar).toBeCloseTo(last!.bar + slope * (dieDeg - last!.dieDeg), 6)
  })

  test('a ratchet arm goes back by its stroke, and takes hold after its backlash', () => {
    const { steps, truth } = seen('ratchet-arm', 60, 40)
    const { strokeDeg, backlashDeg } = RATCHET_ARM
    const loaded = steps.filter(({ contact }) => contact === 'loaded')
    const apart = loaded.map(({ armDeg, dieDeg }) => dieDeg - armDeg)
    expect(Math.max(...apart)).toBeCloseTo(strokeDeg, 0)
    expect(apart.at(-1)).toBeCloseTo(strokeDeg - backlashDeg, 0)
    expect(truth?.peakDeg).toBeGreaterThan(58)
    const away = loaded.filter(({ armDeg, dieDeg }) => dieDeg - armDeg > strokeDeg - 0.5)
    expect(away.every(({ bar }) => bar === 0)).toBe(true)
  })

  test('the truth tells where the block began to bear', () => {
    const { truth } = seen('die', 30)
    // The operator takes zero with the seating pressure on, a few hundredths later.
    expect(truth?.bearingDeg).toBeLessThan(0)
    expect(truth?.bearingDeg).toBeGreaterThan(-0.1)
  })
})
