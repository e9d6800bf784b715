import { expect, test } from 'vitest'
import { catalogue } from '../../../../../server/blocks/index.ts'
import { dieEncoderChain } from '../../../../../server/blocks/shipped/die-encoder.ts'
import { withCalibration } from '../../../../../server/blocks/shipped/with-calibration.ts'
import { compileChain } from '../../../../../server/chain/chain.ts'
import type { ChainFile } from '../../../../../server/chain/chain-file.ts'

const PARAMETERS = {
  scale: 1.002,
  onceCosDeg: 0.1,
  onceSinDeg: -0.2,
  twiceCosDeg: 0,
  twiceSinDeg: 0.03,
}
const given = withCalibration(dieEncoderChain, PARAMETERS)
const into = (file: ChainFile, to: string) =>
  file.connections.filter((connection) => connection.to === to).map(({ from }) => from)
const blockOf = (file: ChainFile) => file.blocks.filter(({ kind }) => kind === 'calibration')

test('it stands between the readout and the spike guard, and the chain is still a chain', () => {
  expect(() => compileChain(given, catalogue)).not.toThrow()
  expect(into(given, 'spike-guard.angle')).toEqual(['calibration.angle'])
  expect(into(given, 'calibration.angle')).toEqual(into(dieEncoderChain, 'spike-guard.angle'))
  expect(blockOf(given)).toEqual([
    { id: 'calibration', kind: 'calibration', parameters: PARAMETERS },
  ])
  expect(given.blocks).toHaveLength(dieEncoderChain.blocks.length + 1)
  expect(given.connections).toHaveLength(dieEncoderChain.connections.length + 1)
})

test('null is a calibration that changes nothing', () => {
  const [block] = blockOf(withCalibration(dieEncoderChain, null))
  expect(block?.parameters).toEqual({
    ...{ scale: 1, onceCosDeg: 0, onceSinDeg: 0, twiceCosDeg: 0, twiceSinDeg: 0 },
  })
})

test('again it only takes the other parameters', () => {
  const again = withCalibration(given, { ...PARAMETERS, scale: 0.998 })
  expect(blockOf(again).map(({ parameters }) => parameters?.['scale'])).toEqual([0.998])
  expect(again.connections).toEqual(given.connections)
  expect(blockOf(given)[0]?.parameters).toEqual(PARAMETERS)
})

test('the shipped chain is left as it was', () => {
  expect(blockOf(dieEncoderChain)).toEqual([])
})

test.each(['block', 'connection'])(
  'a chain without the %s of a spike guard is left as it is',
  (what) => {
    const blocks = dieEncoderChain.blocks.filter(
      ({ kind }) => what === 'connection' || kind !== 'spike-guard',
    )
    const connections = dieEncoderChain.connections.filter(({ to }) => to !== 'spike-guard.angle')
    const bare = { ...dieEncoderChain, blocks, connections }
    expect(withCalibration(bare, PARAMETERS)).toBe(bare)
  },
)

test('a scale of zero is refused by the chain, with its block', () => {
  const file = withCalibration(dieEncoderChain, { ...PARAMETERS, scale: 0 })
  expect(() => compileChain(file, catalogue)).toThrow(/"calibration".*scale/)
})
