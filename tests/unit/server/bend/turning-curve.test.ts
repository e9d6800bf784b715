import { describe, expect, it } from 'vitest'
import {
  creptDeg,
  curveFitter,
  type Model,
  type Shape,
  wayBefore,
} from '../../../../server/bend/turning-curve.ts'

const SHAPE: Shape = { stopS: 0.5, slowS: 0.1, fallAtS: 0.8, tauS: 0.06 }
const MODEL: Model = { slows: true, holds: true, creeps: true, falls: true }

/** Written out anew, from what is said of the curve: up to 40°, creep of 0.15°, fall of 3°. */
function angleAt(atS: number, { stopS, slowS, fallAtS, tauS }: Shape, creepDeg: number): number {
  const beforeS = stopS - atS
  const slowedDeg = (12 * beforeS ** 2) / (2 * slowS)
  if (beforeS > 0) return 40 - (beforeS < slowS ? slowedDeg : 12 * (beforeS - slowS / 2))
  const creptDeg = creepDeg * (1 - Math.exp((stopS - Math.min(atS, fallAtS)) / 0.3))
  const fallenDeg = atS > fallAtS ? 3 * (1 - Math.exp((fallAtS - atS) / tauS)) : 0
  return 40 - creptDeg - fallenDeg
}

function traced(shape: Shape, creepDeg = 0.15, toS = 1) {
  const timeS = Array.from({ length: Math.round(toS * 200) }, (_, index) => index / 200)
  return { timeS, angleDeg: timeS.map((each) => angleAt(each, shape, creepDeg)) }
}

describe('way still to go', () => {
  it('is that of a rate that falls evenly, and joins the even part without a step', () => {
    expect(wayBefore(0, 0.1)).toBe(0)
    expect(wayBefore(0.05, 0.1)).toBeCloseTo(0.0125, 12)
    expect(wayBefore(0.1 - 1e-9, 0.1)).toBeCloseTo(wayBefore(0.1 + 1e-9, 0.1), 8)
    expect(wayBefore(0.3, 0.1)).toBeCloseTo(0.25, 12)
  })

  it('a dead stop has no slower part, nor a division by nothing', () => {
    for (const beforeS of [0, 1e-9, 0.2]) expect(wayBefore(beforeS, 0)).toBe(beforeS)
  })
})

describe('the best curve of a shape', () => {
  it('has the level, rate, creep and fall that made the trace', () => {
    const trace = traced(SHAPE)
    const curve = curveFitter(trace, 0, MODEL).project(SHAPE)
    expect(curve.levelDeg + trace.angleDeg[0]!).toBeCloseTo(40, 2)
    expect(curve.rate).toBeCloseTo(-12, 1)
    expect(Math.abs(curve.bend)).toBeLessThan(0.02)
    expect(curve.creepDeg).toBeCloseTo(-0.15, 1)
    expect(curve.fallDeg).toBeCloseTo(-3, 1)
    expect(creptDeg(curve)).toBeCloseTo(curve.creepDeg * (1 - Math.exp(-1)), 9)
    expect(curve.squares).toBeLessThan(0.003)
  })

  it('that is not allowed to creep, slow or stand does none of it', () => {
    const model: Model = { slows: false, holds: false, creeps: false, falls: true }
    const curve = curveFitter(traced(SHAPE), 0, model).project(SHAPE)
    expect(curve.slowS).toBe(0)
    expect(curve.fallAtS).toBe(curve.stopS)
    expect(curve.creepDeg).toBe(0)
  })

  it('keeps a fall from beginning before the stop, and time constants from 0.01 s to 2 s', () => {
    const { project } = curveFitter(traced(SHAPE), 0, MODEL)
    expect(project({ ...SHAPE, fallAtS: 0.4 }).fallAtS).toBe(0.5)
    expect(project({ ...SHAPE, tauS: 1e-9 }).tauS).toBe(0.01)
    expect(project({ ...SHAPE, tauS: 99 }).tauS).toBe(2)
    expect(project({ ...SHAPE, slowS: -1 }).slowS).toBe(0.005)
    expect(project({ ...SHAPE, slowS: 99 }).slowS).toBe(0.4)
  })

  it('does not look at samples before the first', () => {
    const trace = traced(SHAPE)
    const spoilt = { ...trace, angleDeg: trace.angleDeg.map((a, i) => (i > 0 && i < 40 ? 999 : a)) }
    const clean = curveFitter(trace, 40, MODEL).project(SHAPE)
    expect(curveFitter(spoilt, 40, MODEL).project(SHAPE)).toEqual(clean)
  })

  it('of a trace that says nothing of creep has next to none', () => {
    // Three samples of a hold: any creep would do.
    const shape = { ...SHAPE, fallAtS: 0.515 }
    const { creepDeg } = curveFitter(traced(shape, 0, 0.8), 0, MODEL).project(shape)
    expect(Math.abs(creepDeg)).toBeLessThan(0.01)
  })
})

describe('a step', () => {
  /** Undamped steps in a row; each is taken from the best curve of where the one before led. */
  function after(model: Model, truth: Shape, start: Shape, steps: number): Shape {
    const { project, step } = curveFitter(traced(truth, model.creeps ? 0.15 : 0), 0, model)
    let curve = project(start)
    for (let taken = 0; taken < steps; taken += 1) curve = project(step(curve, 0))
    return curve
  }
  const off = (found: Shape, truth: Shape): number =>
    Math.max(
      Math.abs(found.stopS - truth.stopS),
      Math.abs(found.slowS - truth.slowS) / 3,
      Math.abs(found.fallAtS - truth.fallAtS),
      Math.abs(found.tauS - truth.tauS),
    )

  // With a wrong derivative in any column the steps would lead elsewhere, or never arrive.
  it.each<[string, Model, Shape, Shape]>([
    ['all', MODEL, SHAPE, { stopS: 0.508, slowS: 0.12, fallAtS: 0.795, tauS: 0.08 }],
    [
      'a dead stop',
      { ...MODEL, slows: false },
      { ...SHAPE, slowS: 0 },
      { stopS: 0.508, slowS: 0, fallAtS: 0.795, tauS: 0.05 },
    ],
    [
      'no hold',
      { ...MODEL, holds: false, creeps: false },
      { ...SHAPE, fallAtS: 0.5 },
      { stopS: 0.505, slowS: 0.12, fallAtS: 0.505, tauS: 0.05 },
    ],
  ])('leads to the truth from near it: %s', (_name, model, truth, start) => {
    expect(off(start, truth)).toBeGreaterThan(0.004)
    expect(off(after(model, truth, start, 8), truth)).toBeLessThan(0.001)
  })

  // Near its end a step goes nearly all of the way back; by a wrong derivative it would fall short, or aside.
  it.each(['stopS', 'slowS', 'fallAtS', 'tauS'] as const)(
    'goes back what %s was moved by',
    (moved) => {
      for (const [model, truth] of [
        [MODEL, SHAPE],
        [
          { ...MODEL, holds: false, creeps: false },
          { ...SHAPE, fallAtS: 0.5 },
        ],
      ] as const) {
        if (moved === 'fallAtS' && !model.holds) continue
        const { project, step } = curveFitter(traced(truth, model.creeps ? 2 : 0), 0, model)
        let rest = project(truth)
        for (let taken = 0; taken < 20; taken += 1) rest = project(step(rest, 0))
        const back = project(step(project({ ...rest, [moved]: rest[moved] + 0.0005 }), 0))
        expect(off(back, rest)).toBeLessThan(0.0005 * 0.2)
      }
    },
  )

  it('that is damped is shorter', () => {
    const { project, step } = curveFitter(traced(SHAPE), 0, MODEL)
    const curve = project({ ...SHAPE, fallAtS: 0.79 })
    const free = Math.abs(step(curve, 0).fallAtS - curve.fallAtS)
    const held = Math.abs(step(curve, 10).fallAtS - curve.fallAtS)
    expect(held).toBeLessThan(free / 3)
    expect(step(curve, 1e12).fallAtS).toBeCloseTo(curve.fallAtS, 9)
  })
})
