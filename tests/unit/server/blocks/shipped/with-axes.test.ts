import { expect, test } from 'vitest'
import { catalogue } from '../../../../../server/blocks/index.ts'
import { dieEncoderChain } from '../../../../../server/blocks/shipped/die-encoder.ts'
import { withAxes } from '../../../../../server/blocks/shipped/with-axes.ts'
import { compileChain } from '../../../../../server/chain/chain.ts'
import { chainFor } from '../../../../../server/station/chain-for.ts'

const AXES = { xOffsetG: 0.02, yOffsetG: -0.01, zOffsetG: 0, xUnitG: 1.01, yUnitG: 1, zUnitG: 0.98 }
const tilt = chainFor({ mount: 'swing-tilt', countsPerTurn: 16_384, direction: 'reversed' })
const tiltOf = (file: typeof tilt) => file.blocks.find(({ kind }) => kind === 'tilt')?.parameters

test('the tilt gets them beside what the set-up says, and the chain is still a chain', () => {
  const given = withAxes(tilt, AXES)
  expect(tiltOf(given)).toEqual({ ...tiltOf(tilt), ...AXES })
  expect(tiltOf(given)).toMatchObject({ direction: -1, countsPerG: 16_384 })
  expect(() => compileChain(given, catalogue)).not.toThrow()
})

test('null, and a chain without a tilt, are left as they are', () => {
  expect(withAxes(tilt, null)).toBe(tilt)
  expect(withAxes(dieEncoderChain, AXES)).toEqual(dieEncoderChain)
})

test('an axis that shows nothing of gravity is refused by the chain, with its block', () => {
  const file = withAxes(tilt, { ...AXES, zUnitG: 0 })
  expect(() => compileChain(file, catalogue)).toThrow(/"tilt".*zUnitG/)
})
