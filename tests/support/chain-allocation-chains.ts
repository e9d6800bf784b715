import { dieEncoderChain } from '../../server/blocks/shipped/die-encoder.ts'
import type { ChainFile } from '../../server/chain/chain-file.ts'

/** Blocks for any use, each on the angle from the datum; what has no value in `parameters` stays as it comes. */
const GENERAL: readonly {
  readonly kind: string
  readonly inputs: readonly string[]
  readonly from?: string
  readonly parameters?: Readonly<Record<string, unknown>>
}[] = [
  { kind: 'low-pass', inputs: ['value'], parameters: { rateHz: 200 } },
  { kind: 'notch', inputs: ['value'], parameters: { rateHz: 200 } },
  { kind: 'median', inputs: ['value'] },
  { kind: 'one-euro', inputs: ['value'] },
  { kind: 'alpha-beta', inputs: ['value'] },
  { kind: 'rate-limiter', inputs: ['value'] },
  { kind: 'average', inputs: ['a', 'b'] },
  { kind: 'compare', inputs: ['a', 'b'] },
  { kind: 'switch-over', inputs: ['first', 'second'] },
  { kind: 'threshold', inputs: ['value'] },
  { kind: 'timer', inputs: ['on'], from: 'threshold.on' },
  { kind: 'counter', inputs: ['on'], from: 'threshold.on' },
  { kind: 'formula', inputs: ['a', 'b'], parameters: { expression: 'a + 2*b - abs(a)' } },
]

const general: ChainFile = {
  ...dieEncoderChain,
  name: 'general',
  blocks: [
    ...dieEncoderChain.blocks,
    ...GENERAL.map(({ kind, parameters = {} }) => ({ id: kind, kind, parameters })),
  ],
  connections: [
    ...dieEncoderChain.connections,
    ...GENERAL.flatMap(({ kind, inputs, from = 'datum.angle' }) =>
      inputs.map((port) => ({ from, to: `${kind}.${port}` })),
    ),
  ],
}

/** Chains whose allocation is measured. */
export const allocationChains: Readonly<Record<string, ChainFile>> = {
  shipped: dieEncoderChain,
  general,
}
