import type { ChainFile } from '../../chain/chain-file.ts'

/** What a station knows of its sensor better than the board. */
export interface SensorOverrides {
  /** 0: as the board says. */
  readonly countsPerTurn: number
  readonly direction: 1 | -1
}

/** The same chain for one station's sensor: its `unwrap` and `scale` blocks get what the set-up says. */
export function withSensor(
  file: ChainFile,
  { countsPerTurn, direction }: SensorOverrides,
): ChainFile {
  const overrides: Readonly<Record<string, object>> = {
    unwrap: { countsPerTurn },
    scale: { countsPerTurn, direction },
  }
  return {
    ...file,
    blocks: file.blocks.map((block) =>
      Object.hasOwn(overrides, block.kind)
        ? { ...block, parameters: { ...block.parameters, ...overrides[block.kind] } }
        : block,
    ),
  }
}
