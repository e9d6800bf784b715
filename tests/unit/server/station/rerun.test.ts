import { describe, expect, test } from 'vitest'
import { catalogue } from '../../../../server/blocks/index.ts'
import { dieEncoderChain } from '../../../../server/blocks/shipped/die-encoder.ts'
import { refuseRerun, rerun } from '../../../../server/station/rerun.ts'

const CHAIN = JSON.stringify(dieEncoderChain)

describe('a record that this version cannot run', () => {
  test.each([
    [
      'a block that is no more',
      CHAIN.replace('"kind":"spike-guard"', '"kind":"abacus"'),
      '{}',
      'abacus',
    ],
    ['a newer chain', CHAIN.replace('"version":1', '"version":99'), '{}', '99'],
    ['a snapshot of another chain', CHAIN, '{"blocks":{}}', 'snapshot'],
    ['a chain that is none', 'die-encoder@1', '{}', 'JSON'],
  ])('%s: refused in one sentence that names the bend and says what is left', async (...given) => {
    const [, chain, snapshot, named] = given
    const refusal = await rerun({ chain, snapshot, lines: [] }, catalogue)
      .catch((error: unknown) => refuseRerun(7, error))
      .catch((error: unknown) => error as Error)
    expect(refusal).toMatchObject({ code: 'no-rerun', name: 'Refused' })
    const sentence = (refusal as Error).message
    expect(sentence).toMatch(
      /^Bend 7 cannot be run again by this version \(.*\); its raw lines are/,
    )
    expect(sentence).toContain(named)
  })

  test('a fault of the program is not dressed up as an old record', () => {
    const fault = new TypeError('x is not a function')
    expect(() => refuseRerun(7, fault)).toThrow(fault)
  })
})
