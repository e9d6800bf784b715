import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { playScript, type Segment } from '../../../../firmware-protocol/bench/scripted.ts'

/** Taken to 32.0, stands at 30.8. */
const PRACTICE: readonly Segment[] = [
  { holdS: 0.5 },
  { pedal: 'down' },
  { pedal: 'up' },
  { moveToDeg: 32, rateDegPerS: 8 },
  { holdS: 1 },
  { letOffDeg: 1.2, tauS: 0.05 },
  { holdS: 1 },
]

function play(segments: readonly Segment[], stepS = 0.001) {
  const motion = playScript(segments)
  const angles: number[] = []
  const pedal: { atS: number; edge: string }[] = []
  for (let t = 0; !motion.ended(); t += stepS) {
    motion.advance(stepS)
    angles.push(motion.angleDeg())
    for (const edge of motion.takePedal()) pedal.push({ atS: t + stepS, edge })
    if (angles.length > 100_000) throw new Error('the script does not end')
  }
  return { angles, pedal, motion }
}

describe('a written trajectory', () => {
  it('is played to the digit: taken to 32.0, stands at 30.8', () => {
    const { angles } = play(PRACTICE)
    expect(Math.max(...angles)).toBe(32)
    expect(angles.at(-1)).toBeCloseTo(30.8, 4)
  })

  it('takes as long as it is written: 0.5 + 4 + 1 + 0.6 + 1 s', () => {
    expect(play(PRACTICE).angles.length).toBeCloseTo(7100, -1)
  })

  it('presses the pedal where it is written, in order', () => {
    const { pedal } = play(PRACTICE)
    expect(pedal.map(({ edge }) => edge)).toEqual(['down', 'up'])
    expect(pedal[0]?.atS).toBeCloseTo(0.5, 2)
  })

  it('rests where it ended, for ever', () => {
    const { motion } = play(PRACTICE)
    const endDeg = motion.angleDeg()
    motion.advance(1000)
    expect(motion.angleDeg()).toBe(endDeg)
    expect(motion.takePedal()).toEqual([])
  })

  it('gives each edge once, even when nobody asks for a while', () => {
    const motion = playScript(PRACTICE)
    motion.advance(100)
    expect(motion.takePedal()).toEqual(['down', 'up'])
    expect(motion.takePedal()).toEqual([])
  })

  it('lets off as a bleed does: 63 % of the fall in one time constant', () => {
    const { angles } = play([{ letOffDeg: 2, tauS: 0.1 }])
    expect(angles[99]).toBeCloseTo(-2 * (1 - Math.exp(-1)), 3)
  })

  it('starts where it is told to', () => {
    const motion = playScript([{ holdS: 1 }], 12.5)
    expect(motion.angleDeg()).toBe(12.5)
    motion.advance(0.1)
    expect(motion.angleDeg()).toBe(12.5)
  })

  it('of nothing is over at once', () => {
    const motion = playScript([])
    expect(motion.ended()).toBe(true)
    motion.advance(1)
    expect(motion.angleDeg()).toBe(0)
  })

  it('is where it is whatever the steps were (fast-check seed 3)', () => {
    const steps = fc.array(fc.double({ min: 0.0001, max: 0.3, noNaN: true }), { maxLength: 40 })
    fc.assert(
      fc.property(steps, (chunks) => {
        const totalS = chunks.reduce((a, b) => a + b, 0)
        const inSteps = playScript(PRACTICE)
        for (const chunkS of chunks) inSteps.advance(chunkS)
        const atOnce = playScript(PRACTICE)
        atOnce.advance(totalS)
        expect(inSteps.angleDeg()).toBeCloseTo(atOnce.angleDeg(), 6)
      }),
      { seed: 3, numRuns: 100 },
    )
  })

  it.each<[string, Segment]>([
    ['a rate of nothing', { moveToDeg: 30, rateDegPerS: 0 }],
    ['a rate backwards', { moveToDeg: 30, rateDegPerS: -5 }],
    ['a rate that is none', { moveToDeg: 30, rateDegPerS: Number.NaN }],
    ['an angle that is none', { moveToDeg: Number.NaN, rateDegPerS: 5 }],
    ['an angle without end', { moveToDeg: Number.POSITIVE_INFINITY, rateDegPerS: 5 }],
    ['a hold before it began', { holdS: -1 }],
    ['a let-off in no time', { letOffDeg: 1, tauS: 0 }],
    ['a pedal that hangs', { pedal: 'half' as 'down' }],
  ])('is refused with %s, and the segment named', (_what, segment) => {
    expect(() => playScript([{ holdS: 1 }, segment])).toThrow(/Segment 2 cannot be played/)
  })

  it('is refused when it is endless', () => {
    const long = Array.from({ length: 10_001 }, () => ({ holdS: 1 }))
    expect(() => playScript(long)).toThrow('A script holds at most 10000 segments, got 10001.')
  })
})
