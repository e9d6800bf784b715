import { withCalibration } from '../blocks/shipped/with-calibration.ts'
import type { ChainFile } from '../chain/chain-file.ts'

const CALIBRATION = 'calibration'
const TILT = 'tilt'
/** What six positions of an accelerometer put in. */
const AXES = ['xOffsetG', 'yOffsetG', 'zOffsetG', 'xUnitG', 'yUnitG', 'zUnitG'] as const

const parametersOf = ({ blocks }: ChainFile, kind: string) =>
  blocks.find((block) => block.kind === kind)?.parameters

function withAxesOf(file: ChainFile, running: ChainFile): ChainFile {
  const now = parametersOf(running, TILT) ?? {}
  const axes = Object.fromEntries(
    AXES.flatMap((name) => (Object.hasOwn(now, name) ? [[name, now[name]] as const] : [])),
  )
  if (Object.keys(axes).length === 0) return file
  return {
    ...file,
    blocks: file.blocks.map((block) =>
      block.kind === TILT ? { ...block, parameters: { ...block.parameters, ...axes } } : block,
    ),
  }
}

/**
 * Another chain of the same bender with what the station itself put into the running one, so that a comparison of
 * the two shows what people changed.
 */
export function keepReadout(file: ChainFile, running: ChainFile): ChainFile {
  const calibration = parametersOf(running, CALIBRATION)
  const upright = withAxesOf(file, running)
  if (calibration === undefined) return upright
  return withCalibration(upright, calibration as unknown as Parameters<typeof withCalibration>[1])
}
