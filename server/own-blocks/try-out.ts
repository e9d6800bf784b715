import { link } from '../blocks/link.ts'
import type { Block } from '../chain/block.ts'
import type { ChainFile } from '../chain/chain-file.ts'
import { GOOD } from '../chain/column.ts'
import { type Cell, type RigRow, rigChain } from '../chain/rig.ts'
import { guarded } from './guard.ts'
import { type Trouble, textOfThrown } from './trouble.ts'

const ROWS = 32
const RATE_HZ = 200

/** Some rows of plain numbers, some without: nothing that a block may stumble over. */
function plainRows(inputs: readonly string[], block: Block): RigRow[] {
  return Array.from({ length: ROWS }, (_, row) => {
    const cells = new Map<number, Cell>()
    inputs.forEach((name, place) => {
      if (block.inputs[name]?.carries === 'number' && row % 5 !== 3)
        cells.set(place, { value: row / 2, quality: GOOD })
    })
    return { timeS: row / RATE_HZ, cells }
  })
}

/** Runs a block with its defaults over a few plain values. @throws RangeError with the end of a sentence. */
export function tryOut(block: Block): void {
  const trouble: Trouble = { times: 0, last: null }
  const inputs = Object.keys(block.inputs)
  const file: ChainFile = {
    ...{ format: 'overbend-chain', version: 1, name: 'trial', revision: 1, connections: [] },
    blocks: [
      { id: 'link', kind: 'link' },
      { id: 'tried', kind: block.kind },
    ],
  }
  try {
    const rig = rigChain(file, [link, guarded(block, trouble)], {
      feeds: inputs.map((name) => `tried.${name}`),
      probes: Object.keys(block.outputs).map((name) => `tried.${name}`),
    })
    rig.run(plainRows(inputs, block))
  } catch (error) {
    throw new RangeError(`it does not start: ${textOfThrown(error)}`)
  }
  if (trouble.last !== null)
    throw new RangeError(`over a few plain values it fails: ${trouble.last}`)
}
