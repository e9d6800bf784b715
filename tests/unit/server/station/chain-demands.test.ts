import { describe, expect, test } from 'vitest'
import { catalogue } from '../../../../server/blocks/index.ts'
import { dieEncoderChain } from '../../../../server/blocks/shipped/die-encoder.ts'
import { withCalibration } from '../../../../server/blocks/shipped/with-calibration.ts'
import type { ChainFile } from '../../../../server/chain/chain-file.ts'
import { ChainRefused } from '../../../../server/chain/chain-refused.ts'
import { checkChain } from '../../../../server/chain/check.ts'
import { demandForBender } from '../../../../server/station/chain-demands.ts'

/** As a station starts it: with a place for its calibration. */
const STARTED = withCalibration(dieEncoderChain, null)
const SHIPPED = checkChain(STARTED, catalogue)

function refusalOf(file: ChainFile): ChainRefused {
  try {
    demandForBender(checkChain(file, catalogue), SHIPPED)
  } catch (error) {
    if (error instanceof ChainRefused) return error
    throw error
  }
  throw new Error('It was not refused.')
}

const without = (id: string): ChainFile => ({
  ...STARTED,
  blocks: STARTED.blocks.filter((block) => block.id !== id),
  connections: STARTED.connections.filter(
    ({ from, to }) => !from.startsWith(`${id}.`) && !to.startsWith(`${id}.`),
  ),
})

/** The chain without a block of one input and output, its neighbours joined. */
function bridged(id: string): ChainFile {
  const source = STARTED.connections.find(({ to }) => to === `${id}.angle`)?.from ?? ''
  const onward = STARTED.connections
    .filter(({ from }) => from === `${id}.angle`)
    .map(({ to }) => ({ from: source, to }))
  const file = without(id)
  return { ...file, connections: [...file.connections, ...onward] }
}

test('the shipped chain has all that a bender needs', () => {
  expect(() => demandForBender(SHIPPED, SHIPPED)).not.toThrow()
})

test('a filter more between calibration and datum is none of its business', () => {
  expect(() =>
    demandForBender(checkChain(bridged('spike-guard'), catalogue), SHIPPED),
  ).not.toThrow()
})

describe('refused with a sentence', () => {
  test.each([
    ['raw-record', 'no bend could be run again'],
    ['live-feed', 'no page would show the angle'],
    ['bend-record', 'no bend would be recorded'],
    ['device-feed', 'says of itself'],
  ])('is a chain without %s', (id, why) => {
    const { message, code } = refusalOf(without(id))
    expect(code).toBe('not for a bender')
    expect(message).toBe(`A bender's chain needs a "${id}" block, or ${message.split(', or ')[1]}`)
    expect(message).toContain(why)
  })

  test('is one whose angle does not come through its calibration, with block and port', () => {
    const refusal = refusalOf(bridged('calibration'))
    expect(refusal.message).toContain('the calibration of the readout would not be used')
    expect([refusal.block, refusal.port]).toEqual(['bend-watch', 'angle'])
  })

  test('is one whose bends have no zero', () => {
    const file = without('datum')
    const connections = [
      ...file.connections,
      { from: 'spike-guard.angle', to: 'smoother.angle' },
      { from: 'spike-guard.angle', to: 'bend-watch.angle' },
    ]
    const given = { ...file, connections }
    // The bend watch asks for the datum's own events too: something else gives them here.
    expect(() => checkChain(given, catalogue)).toThrow(/datum/)
  })

  test('is one with two blocks that record, naming the second', () => {
    const twice = {
      ...STARTED,
      blocks: [...STARTED.blocks, { id: 'second', kind: 'raw-record' }],
      connections: [...STARTED.connections, { from: 'link.line', to: 'second.line' }],
    }
    const { message, block } = refusalOf(twice)
    expect(message).toBe('There is one "raw-record" block too many: remove "second".')
    expect(block).toBe('second')
  })

  test('is one made for another sensor', () => {
    const { message } = refusalOf({ ...STARTED, name: 'arm-encoder' })
    expect(message).toContain('"arm-encoder"')
    expect(message).toContain('it is for another sensor.')
  })
})
