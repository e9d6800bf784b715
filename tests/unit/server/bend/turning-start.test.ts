import { describe, expect, it } from 'vitest'
import { addRow, newLeastSquares, solve } from '../../../../server/bend/least-squares.ts'
import { BEND_WEIGHT, type Shape, wayBefore } from '../../../../server/bend/turning-curve.ts'
import { startFinder } from '../../../../server/bend/turning-start.ts'
import { dieMotion, sampled, seeded } from '../../../support/synthetic-trace.ts'

interface Made {
  readonly rateDegPerS: number
  readonly stopS: number
  readonly holdS: number
  readonly springbackDeg: number
  readonly tauS: number
}

function traced({ rateDegPerS, stopS, holdS, springbackDeg, tauS }: Made, seed: number) {
  const motion = dieMotion().stroke(rateDegPerS * 0.7, rateDegPerS, stopS)
  const stopAtS = motion.endS()
  if (holdS > 0) motion.hold(holdS)
  motion.letOff(springbackDeg, tauS, 0.15)
  const samples = sampled(motion, { rateHz: 200, noiseDeg: 0.03, quantumDeg: 0 }, seeded(seed))
  const timeS = samples.map((sample) => sample.timeS)
  return { stopAtS, timeS, angleDeg: samples.map((sample) => sample.angleDeg) }
}

/** All samples in one problem of four columns, where the finder joins pieces of fewer. */
function squaresOf(timeS: readonly number[], angleDeg: readonly number[], shape: Shape): number {
  const problem = newLeastSquares(4)
  const { row } = problem
  row[2] = BEND_WEIGHT
  addRow(problem, 0)
  timeS.forEach((atS, index) => {
    const way = atS < shape.stopS ? wayBefore(shape.stopS - atS, shape.slowS) : 0
    const fall = atS > shape.fallAtS ? 1 - Math.exp((shape.fallAtS - atS) / shape.tauS) : 0
    row.set([1, way, way * way, fall])
    addRow(problem, angleDeg[index]! - angleDeg[0]!)
  })
  return solve(problem)
}

const MADE: readonly Made[] = [
  { rateDegPerS: 12, stopS: 0, holdS: 0.2, springbackDeg: 3, tauS: 0.05 },
  { rateDegPerS: 3, stopS: 0, holdS: 0.3, springbackDeg: 6, tauS: 0.06 },
  { rateDegPerS: 19, stopS: 0.23, holdS: 0.35, springbackDeg: 0.6, tauS: 0.13 },
  { rateDegPerS: 15, stopS: 0, holdS: 0.44, springbackDeg: 1.3, tauS: 0.2 },
]

describe('where a search starts, seeds 1 to 4', () => {
  it.each(MADE)(
    'is near both corners, however much steeper the fall is than the rise: %o',
    (made) => {
      for (const seed of [1, 2, 3, 4]) {
        const { timeS, angleDeg, stopAtS } = traced(made, seed)
        const start = startFinder({ timeS, angleDeg }, true)(made.stopS > 0, true)!
        // Slowing down over other times than those tried moves the stop.
        expect(Math.abs(start.stopS - stopAtS)).toBeLessThan(made.stopS > 0 ? 0.09 : 0.03)
        expect(Math.abs(start.fallAtS - stopAtS - made.holdS)).toBeLessThan(0.03)
      }
    },
  )

  it('leaves over what all samples in one problem leave over', () => {
    for (const made of MADE)
      for (const falls of [false, true])
        for (const slows of [false, true]) {
          const { timeS, angleDeg } = traced(made, 5)
          const start = startFinder({ timeS, angleDeg }, falls)(slows, true)!
          expect(start.squares).toBeCloseTo(squaresOf(timeS, angleDeg, start), 4)
        }
  })

  it('no hold: falls where it stops', () => {
    const { timeS, angleDeg } = traced({ ...MADE[0]!, holdS: 0 }, 6)
    const start = startFinder({ timeS, angleDeg }, true)(false, false)!
    expect(start.fallAtS).toBe(start.stopS)
    expect(start.squares).toBeCloseTo(squaresOf(timeS, angleDeg, start), 4)
  })

  it('no fall: stands to the last sample', () => {
    const { timeS, angleDeg } = traced(MADE[1]!, 7)
    expect(startFinder({ timeS, angleDeg }, false)(false, true)!.fallAtS).toBe(timeS.at(-1))
  })

  it('is nowhere when nothing rises, or there is next to nothing', () => {
    const timeS = Array.from({ length: 100 }, (_, index) => index / 200)
    const down = { timeS, angleDeg: timeS.map((each) => -12 * each) }
    for (const falls of [false, true])
      for (const slows of [false, true]) expect(startFinder(down, falls)(slows, true)).toBeNull()
    for (let points = 0; points < 8; points += 1) {
      const few = { timeS: timeS.slice(0, points), angleDeg: timeS.slice(0, points) }
      expect(startFinder(few, true)(false, true)).toBeNull()
    }
  })
})
