import type { ChainFile } from '../../chain/chain-file.ts'

/** What each axis of an accelerometer makes of gravity, g. */
export interface AxesParameters {
  readonly xOffsetG: number
  readonly yOffsetG: number
  readonly zOffsetG: number
  readonly xUnitG: number
  readonly yUnitG: number
  readonly zUnitG: number
}

/** The same chain with an accelerometer calibrated on its six sides; one without a tilt is left as it is. */
export const withAxes = (file: ChainFile, axes: AxesParameters | null): ChainFile =>
  axes === null
    ? file
    : {
        ...file,
        blocks: file.blocks.map((block) =>
          block.kind === 'tilt'
            ? { ...block, parameters: { ...block.parameters, ...axes } }
            : block,
        ),
      }
