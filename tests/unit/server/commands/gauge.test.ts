import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { BadInput } from '../../../../server/commands/command.ts'
import { gauge } from '../../../../server/commands/gauge.ts'
import { MSA_READINGS } from '../../../support/gauge-readings.ts'
import { runCommand } from '../../../support/run-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'overbend-gauge-'))
afterAll(() => rmSync(folder, { recursive: true }))
const file = join(folder, 'read.csv')

async function studied(text: string, ...flags: string[]): Promise<string> {
  writeFileSync(file, text)
  return (await runCommand(gauge, ['gauge', file, ...flags])).text
}

const lines = MSA_READINGS.flatMap((part, i) =>
  part.flatMap((cell, j) => cell.map((value) => `P${i + 1};${value};Operator ${j + 1}`)),
)
const TABLE = ['Tube;Reading;Operator', ...lines].join('\n')

describe('the published example, as a table', () => {
  test('comes to the published figures, whatever the order of lines and columns', async () => {
    const found = JSON.parse(await studied(TABLE, '--json'))
    expect(found).toMatchObject({ trials: 3, tolerance: null, percentOfTolerance: null })
    expect([found.operators.length, found.tubes.length]).toEqual([3, 10])
    expect(found.percentOfStudy).toBeCloseTo(27.86, 2)
    expect(found.anova.categories).toBe(4)
    expect(found.ranges.categories).toBe(5)
    const shuffled = ['Tube;Reading;Operator', ...lines.toReversed()].join('\n')
    const again = JSON.parse(await studied(shuffled, '--json'))
    expect(again.anova.gauge).toBeCloseTo(found.anova.gauge, 12)
    expect(again.tubes[0]).toBe('P10')
  })

  test('is the same with decimal commas, where semicolons part the columns', async () => {
    const found = JSON.parse(await studied(TABLE, '--json'))
    expect(JSON.parse(await studied(TABLE.replaceAll('.', ','), '--json'))).toEqual(found)
  })

  test('says whether the gauge serves a tolerance', async () => {
    const { anova } = JSON.parse(await studied(TABLE, '--json'))
    const widthFor = (percent: number) => String((600 * anova.gauge) / percent)
    expect(await studied(TABLE, '--tolerance', widthFor(9))).toContain(
      '9.0 % of the tolerance: it serves.',
    )
    expect(await studied(TABLE, '--tolerance', widthFor(20))).toContain('it may serve')
    const worse = await studied(TABLE, '--tolerance', widthFor(40))
    expect(worse).toContain('40.0 % of the tolerance: it does not serve.')
    expect(worse).toContain('4 sorts of tubes apart; 5 or more are wanted.')
  })
})

test('more than the tables of ranges hold is studied by variance alone', async () => {
  const rows = ['A', 'B', 'C', 'D'].flatMap((who, i) =>
    [1, 2, 3].flatMap((tube) => [
      `${who},${tube},${tube + i / 10}`,
      `${who},${tube},${tube - i / 20}`,
    ]),
  )
  const found = JSON.parse(await studied(`operator,tube,reading\n${rows.join('\n')}`, '--json'))
  expect(found.ranges).toBeNull()
  expect(found.anova.gauge).toBeGreaterThan(0)
})

const HEAD = 'operator,tube,reading\n'
test.each([
  ['nothing', '', 'has no readings.'],
  ['a header alone', HEAD, 'has no readings.'],
  ['no header', 'A,1,90\nA,1,91\n', 'line 1: no column "operator"'],
  [
    'a word for a reading',
    `${HEAD}A,1,90\nA,1,ninety\n`,
    'line 3: a number is needed, got "ninety".',
  ],
  [
    'a decimal comma between commas',
    'operator,tube,reading\nA,1,"90,1"\n',
    'line 2: "90,1" has a decimal comma',
  ],
  [
    'a comma that may be thousands',
    'operator;tube;reading\nA;1;90,125\n',
    'line 2: "90,125" may be thousands',
  ],
  ['a line without operator', `${HEAD},1,90\n`, 'line 2: no operator.'],
  ['a line without tube', `${HEAD}A,,90\n`, 'line 2: no tube.'],
  ['a line cut short', `${HEAD}A,1\n`, 'line 2: a number is needed'],
  [
    'a reading that is missing',
    `${HEAD}A,1,90\nA,1,91\nA,2,90\nA,2,91\nB,1,90\nB,1,90\nB,2,90\n`,
    'operator B read tube 2 1 times, where others were read 2 times',
  ],
  [
    'one operator alone',
    `${HEAD}A,1,90\nA,1,91\nA,2,90\nA,2,91\n`,
    'two or more parts, appraisers',
  ],
  [
    'a reading whose square fits no number',
    `${HEAD}A,1,90\nA,1,-1e200\n`,
    'line 3: a reading beyond',
  ],
  ['quotes that do not match', `${HEAD}A,1,"90\n`, 'its quotes do not match.'],
])('%s is refused in one sentence', async (_, text, sentence) => {
  const refusal: unknown = await studied(text).catch((error: unknown) => error)
  expect(refusal).toBeInstanceOf(BadInput)
  expect((refusal as Error).message).toContain(sentence)
  expect((refusal as Error).message).not.toContain('\n')
})

test.each(['0', '-1'])('a tolerance of %s is refused', async (width) => {
  await expect(studied(TABLE, '--tolerance', width)).rejects.toThrow('a width above 0')
})
