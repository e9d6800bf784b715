import { type Static, Type } from 'typebox'
import { defineBlock, item, number } from '../chain/block.ts'
import { BAD } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { type Motion, stepMotion } from './constant-velocity.ts'
import type { DatumTaken } from './datum.ts'

/** After a longer silence what was known of the motion says nothing: it begins anew. */
const SILENCE_S = 1
/** Rate expected before anything is known, one standard deviation: a brisk bend. */
const FIRST_RATE_DEG_PER_S = 30

const parameters = strict({
  noiseDeg: Type.Number({
    minimum: 0.0001,
    maximum: 10,
    default: 0.03,
    description: 'Standard deviation of a reading at rest, degrees.',
  }),
  accelDegPerS2: Type.Number({
    minimum: 0.1,
    maximum: 100_000,
    default: 150,
    description: 'How hard the die is sped up or stopped, one standard deviation, deg/s².',
  }),
})

interface Memory {
  started: boolean
  lastS: number
  motion: Motion
}

/**
 * Smooths the angle and gives its rate: a constant-velocity Kalman filter with each sample's own step. It lags
 * by nothing at a steady rate and overshoots at a sudden stop, as every such filter does: for the display and
 * the stop cue, never for the peak. Bad values are not taken in: what was known stands, marked bad.
 */
export const smoother = defineBlock({
  kind: 'smoother',
  summary: 'Smooths the angle and gives its rate.',
  parameters,
  inputs: {
    angle: number('deg', 'Angle with noise.'),
    datum: item<DatumTaken>('datum', 'The angle jumps here, and nothing moved.'),
  },
  outputs: { angle: number('deg', 'Smoothed.'), rate: number('deg/s', 'Its rate.') },
  optional: ['datum'],
  delaySamples: () => 0,
  start: (): Memory => ({ started: false, lastS: 0, motion: newMotion() }),
  step(frame, memory, { noiseDeg, accelDegPerS2 }: Static<typeof parameters>, rows) {
    const { angle, datum } = frame.in
    const { angle: smooth, rate } = frame.out
    const { motion } = memory
    for (let row = 0; row < rows; row++) {
      if (datum.count > 0 && datum.items[row]) memory.started = false
      const quality = angle.quality[row] as number
      if (quality < BAD) {
        const timeS = angle.timeS[row] as number
        const stepS = timeS - memory.lastS
        memory.lastS = timeS
        const readingDeg = angle.value[row] as number
        if (memory.started && stepS >= 0 && stepS <= SILENCE_S)
          stepMotion(motion, readingDeg, stepS, noiseDeg, accelDegPerS2)
        else begin(memory, readingDeg, noiseDeg)
      }
      smooth.value[row] = motion.deg
      rate.value[row] = motion.degPerS
      smooth.quality[row] = quality
      rate.quality[row] = quality
    }
  },
})

function newMotion(): Motion {
  return { deg: 0, degPerS: 0, varDeg: 0, covariance: 0, varDegPerS: 0 }
}

function begin(memory: Memory, readingDeg: number, noiseDeg: number): void {
  const { motion } = memory
  memory.started = true
  motion.deg = readingDeg
  motion.degPerS = 0
  motion.varDeg = noiseDeg ** 2
  motion.covariance = 0
  motion.varDegPerS = FIRST_RATE_DEG_PER_S ** 2
}
