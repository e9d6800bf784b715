import { describe, expect, it } from 'vitest'
import { cyclesOf } from '../../../../server/commands/trace-cycles.ts'
import {
  type DieMotion,
  dieMotion,
  type Sensor,
  sampled,
  seeded,
} from '../../../support/synthetic-trace.ts'

const USUAL: Sensor = { rateHz: 200, noiseDeg: 0.03, quantumDeg: 0.02 }
const SEED = 5

function traceOf(motion: DieMotion, sensor: Partial<Sensor> = {}, offsetDeg = 0) {
  const samples = sampled(motion, { ...USUAL, ...sensor }, seeded(SEED))
  return {
    timeS: samples.map(({ timeS }) => timeS),
    angleDeg: samples.map(({ angleDeg }) => angleDeg + offsetDeg),
  }
}

/** Peak and released angle of every go within 0.05° of what the die truly did, and no go more or less. */
function expectTrue(motion: DieMotion, sensor: Partial<Sensor> = {}, withinDeg = 0.05) {
  const cycles = cyclesOf(traceOf(motion, sensor), 0)
  const goes = cycles.flatMap((cycle) => cycle.goes)
  expect(goes).toHaveLength(motion.goes.length)
  motion.goes.forEach((truth, place) => {
    const go = goes[place]!
    expect(Math.abs(go.peakDeg - truth.peakDeg)).toBeLessThan(withinDeg)
    expect(go.strokes).toBe(truth.strokes)
    if (truth.releasedDeg === null) expect(go.releasedDeg).toBeNull()
    else expect(Math.abs(go.releasedDeg! - truth.releasedDeg)).toBeLessThan(0.05)
  })
  return cycles
}

const loaded = () => dieMotion().rest(1).stroke(93, 12, 0.1).hold(0.6)
const bent = () => loaded().letOff(2.9, 0.08, 2)

describe(`made-up traces, seed ${SEED}`, () => {
  it('no hold at the top', () => {
    expectTrue(dieMotion().rest(1).stroke(93, 12).letOff(2.9, 0.08, 2))
    expectTrue(dieMotion().rest(1).stroke(93, 12, 0.2).letOff(2.9, 0.08, 2))
  })

  it('two goes: one cycle with the last go in front', () => {
    const motion = bent().stroke(95, 8, 0.1).hold(0.5).letOff(2.9, 0.08, 2)
    const [cycle, ...more] = expectTrue(motion)
    expect(more).toEqual([])
    expect(cycle!.peakDeg).toBeCloseTo(95, 1)
    expect(cycle!.releasedDeg).toBeCloseTo(92.1, 1)
    expect(cycle!.strokes).toBe(2)
  })

  it('three goes', () => {
    const again = (toDeg: number, motion: DieMotion) =>
      motion.stroke(toDeg, 6, 0.1).hold(0.4).letOff(2.9, 0.08, 2)
    const [cycle] = expectTrue(again(97, again(95, bent())))
    expect(cycle!.goes).toHaveLength(3)
  })

  it.each([4, 6, 10])('let off slowly, time constant 1 s, seen for %d s', (seenS) => {
    expectTrue(loaded().letOff(2.9, 1, seenS))
  })

  it('let off evenly, as a valve that is opened a little does', () => {
    const [cycle] = cyclesOf(traceOf(loaded().byHand(90, 0.8).rest(2)), 0)
    expect(Math.abs(cycle!.releasedDeg! - 90)).toBeLessThan(0.05)
  })

  it.each([
    ['back to where it began', 0, 2],
    ['back in a jerk', 0, 0.3],
    ['a little down', 89, 1],
    ['a little up', 91.5, 0.5],
  ])('moved by hand afterwards, %s: the plateau before it stands', (_, toDeg, durationS) => {
    expectTrue(loaded().letOff(2.9, 0.08, 1.2).byHand(toDeg, durationS).rest(2))
  })

  it('moved by hand up and then back: no second go', () => {
    const motion = loaded().letOff(2.9, 0.08, 1.2).byHand(91.5, 0.5).rest(1).byHand(0, 1).rest(1)
    expectTrue(motion)
  })

  it('vibration of 10 Hz and 0.3°', () => {
    const shakeDeg = (timeS: number) => 0.3 * Math.sin(2 * Math.PI * 10 * timeS)
    expectTrue(bent(), { shakeDeg })
    expectTrue(bent(), { shakeDeg: (timeS) => (timeS < 9.7 ? shakeDeg(timeS) : 0) })
  })

  it('vibration whose period fits no window', () => {
    expectTrue(bent(), { shakeDeg: (timeS) => 0.3 * Math.sin(2 * Math.PI * 8.7 * timeS) })
  })

  it.each([0.05, 0.2, 0.5])('a share of %d of the samples lost', (lost) => {
    expectTrue(bent(), { lost })
  })

  it('20 Hz and 1 kHz', () => {
    expectTrue(bent(), { rateHz: 20 })
    expectTrue(bent(), { rateHz: 1000 })
  })

  it('an encoder of 0.09° a step and no noise: as good as its step allows', () => {
    const [cycle] = cyclesOf(traceOf(bent(), { noiseDeg: 0, quantumDeg: 0.09 }), 0)
    expect(Math.abs(cycle!.releasedDeg! - 90.1)).toBeLessThan(0.05)
    expect(cycle!.releasedSeDeg!).toBeGreaterThan(0.09 / Math.sqrt(12) / 1.01)
  })

  it('several strokes, with a little relaxing between them', () => {
    const motion = dieMotion().rest(1).stroke(30, 12, 0.1).hold(1, 0.25).stroke(60, 12).hold(1, 0.2)
    expectTrue(motion.stroke(93, 12).hold(0.5).letOff(2.9, 0.08, 1))
  })

  it('inching', () => {
    const motion = [2, 4, 6, 8, 10, 12].reduce(
      (so, toDeg) => so.stroke(toDeg, 5).hold(0.7),
      dieMotion().rest(1),
    )
    expectTrue(motion.letOff(1.5, 0.1, 1))
  })

  it('a bend of 3° with half a degree of springback', () => {
    expectTrue(dieMotion().rest(1).stroke(3.5, 4, 0.1).hold(0.5).letOff(0.5, 0.1, 1))
  })

  it('a long hold on which the tube relaxes', () => {
    expectTrue(dieMotion().rest(1).stroke(93, 12, 0.1).hold(20, 0.2, 3).letOff(2.9, 0.1, 1))
  })
})

describe('what is no bend, or no whole one', () => {
  it('a bump at rest', () => {
    expect(cyclesOf(traceOf(dieMotion().rest(1).bump(2, 0.4).rest(1)), 'auto')).toEqual([])
    expectTrue(
      dieMotion().rest(1).bump(2, 0.4).rest(1).stroke(93, 12, 0.1).hold(0.6).letOff(2.9, 0.08, 1),
    )
  })

  it('a die that is turned by hand before a tube is in: down, and a little up', () => {
    const motion = dieMotion().rest(1).byHand(-20, 1).rest(1).byHand(-19, 0.5).rest(1)
    expect(cyclesOf(traceOf(motion), 'auto')).toEqual([])
  })

  it('an operator who never lets off: a cycle without a released angle', () => {
    const [cycle] = expectTrue(dieMotion().rest(1).stroke(93, 12, 0.1).hold(3))
    expect([cycle!.releasedDeg, cycle!.releasedAtS, cycle!.releasedSeDeg]).toEqual([
      null,
      null,
      null,
    ])
  })

  it('a trace that ends in the rise: as far as it was seen, and no released angle', () => {
    const [cycle] = cyclesOf(traceOf(dieMotion().rest(1).stroke(93, 12)), 0)
    expect(cycle!.releasedDeg).toBeNull()
    expect(cycle!.peakDeg).toBeGreaterThan(91)
    expect(cycle!.peakDeg).toBeLessThan(93.05)
  })

  it('a second go that was never let off: its released angle is not that of the first', () => {
    const [cycle] = expectTrue(bent().stroke(95, 8, 0.1).hold(2))
    expect(cycle!.releasedDeg).toBeNull()
    expect(cycle!.goes[0]!.releasedDeg).not.toBeNull()
  })
})

describe('the datum', () => {
  it('auto is the rest before the bend, wherever that is', () => {
    const [cycle] = cyclesOf(traceOf(bent(), {}, 217.3), 'auto')
    expect(Math.abs(cycle!.datumDeg - 217.3)).toBeLessThan(0.02)
    expect(Math.abs(cycle!.peakDeg - 93)).toBeLessThan(0.05)
  })

  it('auto leaves out slack that is taken up first', () => {
    const motion = dieMotion().rest(1).byHand(1.2, 0.3).rest(1).stroke(93, 12, 0.1).hold(0.6)
    const [cycle] = cyclesOf(traceOf(motion.letOff(2.9, 0.08, 1)), 'auto')
    expect(Math.abs(cycle!.datumDeg - 1.2)).toBeLessThan(0.02)
    expect(Math.abs(cycle!.peakDeg - 91.8)).toBeLessThan(0.05)
  })

  it('auto finds each bend its own, and 0 serves them all', () => {
    const motion = bent().byHand(0.4, 2).rest(2).stroke(45, 8, 0.1).hold(0.5).letOff(2.1, 0.08, 1)
    const auto = cyclesOf(traceOf(motion), 'auto')
    expect(auto.map((cycle) => Math.round(cycle.datumDeg * 10) / 10 + 0)).toEqual([0, 0.4])
    expect(Math.abs(auto[1]!.peakDeg - 44.6)).toBeLessThan(0.05)
    expect(expectTrue(motion)).toHaveLength(2)
  })

  it('auto takes the first sample when the trace begins in motion', () => {
    const [cycle] = cyclesOf(
      traceOf(dieMotion().stroke(93, 12, 0.1).hold(0.5).letOff(2.9, 0.1, 1)),
      'auto',
    )
    expect(Math.abs(cycle!.peakDeg - 93)).toBeLessThan(0.2)
  })

  it('is shown as the readout shows it after a wrap', () => {
    const trace = traceOf(bent(), {}, 300)
    const auto = cyclesOf(trace, 'auto')
    expect(auto[0]!.datumDeg).toBeCloseTo(300, 1)
    expect(cyclesOf(trace, 300)[0]!.peakDeg).toBeCloseTo(93, 1)
    expect(cyclesOf(trace, -60)[0]!.peakDeg).toBeCloseTo(93, 1)
  })
})
