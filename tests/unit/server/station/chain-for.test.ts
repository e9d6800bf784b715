import { describe, expect, test } from 'vitest'
import type { ChainFile } from '../../../../server/chain/chain-file.ts'
import type { Sensor } from '../../../../server/messages/setup.ts'
import { AS_BOARD_SAYS, chainFor, readsAlike } from '../../../../server/station/chain-for.ts'

const sensor = (change: Partial<Sensor>): Sensor => ({ ...AS_BOARD_SAYS, ...change })
const parametersOf = ({ blocks }: ChainFile, id: string) =>
  blocks.find((block) => block.id === id)?.parameters

describe('the chain of a sensor', () => {
  test('leaves the counts to the board where the set-up does', () => {
    const chain = chainFor(AS_BOARD_SAYS)
    expect(parametersOf(chain, 'unwrap')).toMatchObject({ countsPerTurn: 0 })
    expect(parametersOf(chain, 'scale')).toMatchObject({ countsPerTurn: 0, direction: 1 })
  })
  test('turns round for a sensor that is read the other way', () => {
    const chain = chainFor(sensor({ countsPerTurn: 4096, direction: 'reversed' }))
    expect(parametersOf(chain, 'scale')).toMatchObject({ countsPerTurn: 4096, direction: -1 })
  })
  test.each([
    [{}, true],
    [{ countsPerTurn: 4096 }, false],
    [{ direction: 'reversed' }, false],
  ] as const)('is the same for %j: %s', (change, isAlike) => {
    expect(readsAlike(AS_BOARD_SAYS, sensor(change))).toBe(isAlike)
    const [one, other] = [AS_BOARD_SAYS, sensor(change)].map((each) =>
      JSON.stringify(chainFor(each)),
    )
    expect(one === other).toBe(isAlike)
  })
})
