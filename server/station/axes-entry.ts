import type { AxesParameters } from '../blocks/shipped/with-axes.ts'
import type { SixPositions, SixPositionsAsk } from '../messages/readout.ts'
import { type AxisCalibration, fitSixPositions } from '../quality/accelerometer-fit.ts'
import { CalibrationRefused } from '../quality/calibration-refused.ts'
import { Refused } from '../web/station-door.ts'
import { millionths } from './coach.ts'

const rounded = ({ offsetG, unitG }: AxisCalibration) => ({
  offsetG: millionths(offsetG),
  unitG: millionths(unitG),
})

/**
 * Offset and gain of the three axes, as they are entered in the log: to a millionth of a g.
 * @throws Refused `calibration-refused` with one sentence.
 */
export function axesOf({ positions }: SixPositionsAsk) {
  try {
    const [x, y, z] = fitSixPositions(positions)
    return { positions, x: rounded(x), y: rounded(y), z: rounded(z) }
  } catch (error) {
    if (error instanceof CalibrationRefused) throw new Refused('calibration-refused', error.message)
    throw error
  }
}

/** What the chain needs of them. */
export const axesParametersOf = ({ x, y, z }: SixPositions): AxesParameters => ({
  xOffsetG: x.offsetG,
  yOffsetG: y.offsetG,
  zOffsetG: z.offsetG,
  xUnitG: x.unitG,
  yUnitG: y.unitG,
  zUnitG: z.unitG,
})
