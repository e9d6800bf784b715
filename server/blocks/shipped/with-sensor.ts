import type { ChainFile } from '../../chain/chain-file.ts'

/** What a station knows of its sensor better than the board: parameters by kind of block. */
export type SensorOverrides = Readonly<Record<string, Readonly<Record<string, unknown>>>>

/** The same chain for one station's sensor: blocks of these kinds get what the set-up says. */
export const withSensor = (file: ChainFile, overrides: SensorOverrides): ChainFile => ({
  ...file,
  blocks: file.blocks.map((block) =>
    Object.hasOwn(overrides, block.kind)
      ? { ...block, parameters: { ...block.parameters, ...overrides[block.kind] } }
      : block,
  ),
})
