import type { ChainFile } from '../../chain/chain-file.ts'
import type { CalibrationParameters } from '../calibration.ts'

const KIND = 'calibration'
const GUARD = 'spike-guard'

/** The readout as the sensor has it. */
const UNCALIBRATED: CalibrationParameters = {
  scale: 1,
  onceCosDeg: 0,
  onceSinDeg: 0,
  twiceCosDeg: 0,
  twiceSinDeg: 0,
}

/**
 * The same chain with a calibration between the readout and the spike guard; null: one that changes nothing,
 * since the block also tells the readout that a first calibration is made from. A chain that has the block gets
 * the parameters; one without a spike guard is left as it is.
 */
export function withCalibration(
  file: ChainFile,
  calibration: CalibrationParameters | null,
): ChainFile {
  const parameters = { ...(calibration ?? UNCALIBRATED) }
  if (file.blocks.some(({ kind }) => kind === KIND))
    return {
      ...file,
      blocks: file.blocks.map((block) => (block.kind === KIND ? { ...block, parameters } : block)),
    }
  const place = file.blocks.findIndex(({ kind }) => kind === GUARD)
  const into = `${file.blocks[place]?.id}.angle`
  if (!file.connections.some(({ to }) => to === into)) return file
  return {
    ...file,
    blocks: file.blocks.toSpliced(place, 0, { id: KIND, kind: KIND, parameters }),
    connections: file.connections.flatMap((connection) =>
      connection.to === into
        ? [
            { from: connection.from, to: `${KIND}.angle` },
            { from: `${KIND}.angle`, to: into },
          ]
        : [connection],
    ),
  }
}
