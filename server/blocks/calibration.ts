import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { NONE } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'

const weight = (description: string) =>
  Type.Number({ minimum: -90, maximum: 90, default: 0, description })

const parameters = strict({
  scale: Type.Number({
    exclusiveMinimum: 0,
    maximum: 1000,
    default: 1,
    description: 'Degrees of the die for one degree of the readout.',
  }),
  onceCosDeg: weight('Added once a turn of the readout, times its cosine, degrees.'),
  onceSinDeg: weight('Added once a turn of the readout, times its sine, degrees.'),
  twiceCosDeg: weight('Added twice a turn, times the cosine of twice the readout, degrees.'),
  twiceSinDeg: weight('Added twice a turn, times the sine of twice the readout, degrees.'),
})
export type CalibrationParameters = Static<typeof parameters>

const RAD_PER_DEG = Math.PI / 180

/** The readout before it is corrected: what a new calibration is made from. Columns of one length. */
export interface ReadoutRun {
  readonly timeS: number[]
  readonly readoutDeg: number[]
  /** 0 good, 1 uncertain, 2 bad. */
  readonly quality: number[]
}

/**
 * Corrects the readout by a calibration: its scale, and the errors that repeat once and twice a turn of an
 * eccentric encoder. Its offset is not needed, since a datum takes it off. Stands before the datum and the
 * spike guard, where readout 0 is still the sensor's own. Also tells the readout as it came in.
 */
export const calibration = defineBlock({
  kind: 'calibration',
  summary: 'Corrects the readout by its calibration.',
  parameters,
  inputs: { angle: number('deg', 'As the sensor has it.') },
  outputs: { angle: number('deg', 'As the gauge has it.') },
  outlet: 'readout',
  start: () => ({}),
  step(frame, _, { scale, onceCosDeg, onceSinDeg, twiceCosDeg, twiceSinDeg }, rows) {
    const { angle } = frame.in
    const { angle: out } = frame.out
    const turns = onceCosDeg !== 0 || onceSinDeg !== 0 || twiceCosDeg !== 0 || twiceSinDeg !== 0
    const run: ReadoutRun = { timeS: [], readoutDeg: [], quality: [] }
    for (let row = 0; row < rows; row++) {
      const readoutDeg = angle.value[row] as number
      const quality = angle.quality[row] as number
      out.value[row] = scale * readoutDeg
      out.quality[row] = quality
      if (quality === NONE) continue
      run.timeS.push(angle.timeS[row] as number)
      run.readoutDeg.push(readoutDeg)
      run.quality.push(quality)
      if (!turns) continue
      const turnRad = readoutDeg * RAD_PER_DEG
      const cos = Math.cos(turnRad)
      const sin = Math.sin(turnRad)
      // cos 2r = 2cos² − 1 and sin 2r = 2 sin r cos r save two calls.
      const errorDeg =
        onceCosDeg * cos +
        onceSinDeg * sin +
        twiceCosDeg * (2 * cos * cos - 1) +
        twiceSinDeg * 2 * sin * cos
      out.value[row] = scale * readoutDeg + errorDeg
    }
    if (run.timeS.length > 0) frame.emit(run)
  },
})
