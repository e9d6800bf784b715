import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { chainTest } from '../../../../server/commands/chain-test.ts'
import { BadInput } from '../../../../server/commands/command.ts'
import { serve } from '../../../../server/commands/serve.ts'
import { runCommand } from '../../../support/run-command.ts'

const EXAMPLE = 'server/chain/examples/pressure-alarm.chain.json'
const example = () => JSON.parse(readFileSync(EXAMPLE, 'utf8'))

let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'overbend-chain-test-'))
})
afterAll(() => rmSync(folder, { recursive: true }))

function fileWith(content: unknown): string {
  const path = join(folder, 'chain.json')
  writeFileSync(path, typeof content === 'string' ? content : JSON.stringify(content))
  return path
}
const run = (content: unknown, ...flags: string[]) =>
  runCommand(chainTest, ['chain-test', fileWith(content), ...flags])

describe('the shipped example', () => {
  test('passes, as JSON and as sentences', async () => {
    const json = await runCommand(chainTest, ['chain-test', EXAMPLE, '--json'])
    expect(JSON.parse(json.text)).toEqual({ passed: 3, failed: [] })
    expect(json.exitCode).toBe(0)
    const { text } = await runCommand(chainTest, ['chain-test', EXAMPLE])
    expect(text).toBe('3 passed, 0 failed.\n')
  })

  test('fails when its filter is taken out: the spike then raises the alarm, and 1 is the exit code', async () => {
    const file = example()
    file.blocks[2].parameters.window = 3
    file.tests[0].feed[0].values[1] = { repeat: 2, value: 400 }
    const { text, exitCode } = await run(file, '--json')
    expect(exitCode).toBe(1)
    const { passed, failed } = JSON.parse(text)
    expect(passed).toBe(1)
    expect(failed).toContainEqual({
      test: 'One spike raises no alarm',
      ...{ block: 'high', port: 'crossing', atS: 0.2 },
      expected: null,
      got: expect.objectContaining({ on: false }),
    })
    const { text: sentences } = await run(file)
    expect(sentences).toMatch(/^Test "One spike raises no alarm": .* expected null\.$/m)
    expect(sentences).toMatch(/1 passed, 2 failed\.\n$/)
  })
})

describe('refused with one sentence', () => {
  const changed = (change: (file: ReturnType<typeof example>) => void) => {
    const file = example()
    change(file)
    return file
  }
  const formula = (expression: string) =>
    changed((file) => {
      file.blocks[2] = {
        ...{ id: 'spikes', kind: 'formula' },
        parameters: { expression, unit: 'bar', unitA: 'bar' },
      }
      file.connections[1].to = 'spikes.a'
      file.tests[0].feed[0].at = 'spikes.a'
    })
  const many = Array.from({ length: 100_000 }, (_, n) => ({ id: `b${n}`, kind: 'delay' }))
  test.each<[string, unknown, RegExp]>([
    ['no JSON', '{ "format": ', /is not JSON/],
    ['a list', [], /it must be object/],
    ['a newer version', changed((file) => (file.version = 2)), /version 2.*reads up to 1/],
    ['an unknown block', changed((file) => (file.blocks[2].kind = 'abacus')), /no block "abacus"/],
    [
      '100,000 blocks',
      changed((file) => (file.blocks = many)),
      /100000 blocks; a chain has \d+ at the most/,
    ],
    ['a formula that loops', formula('a; while (1) {}'), /expression is refused: ";" at place 2/],
    ['a formula that calls itself', formula('f(a) = f(a)'), /there is no "f"/],
    ['a formula that reads the process', formula('process.env'), /there is no "process"/],
    ['a formula that reads a prototype', formula('a.constructor'), /expression is refused/],
    ['a formula nested a hundred deep', formula(`${'('.repeat(90)}a${')'.repeat(90)}`), /deeper/],
    ['no tests', changed((file) => delete file.tests), /carries no tests/],
    ['an empty list of tests', changed((file) => (file.tests = [])), /carries no tests/],
    [
      'a misspelt name in a test',
      changed((file) => (file.tests[0].expects = [])),
      /tests\.0 has unknown keys: expects/,
    ],
    [
      'a port that is not there',
      changed((file) => (file.tests[0].feed[0].at = 'spikes.x')),
      /no such port; its inputs are: value/,
    ],
    [
      'a feed that nothing hangs by',
      changed((file) => {
        file.tests[0].feed[0].at = 'high.value'
        file.tests[0].expect = [{ at: 'spikes.value', atS: 0, value: 0 }]
      }),
      /hangs by high\.value/,
    ],
    [
      'a value that is none',
      changed((file) => (file.tests[1].feed[0].values[0] = 'much')),
      /Test "A pressure that stays.*feed 1, value 1/,
    ],
    [
      'too many values',
      changed((file) => (file.tests[1].feed[0].values[0] = { repeat: 40_000_000, value: 1 })),
      /feed 1, value 1|more than/,
    ],
    [
      'a number expected of items',
      changed((file) => (file.tests[0].expect = [{ at: 'high.crossing', atS: 1, value: 1 }])),
      /expect 1 needs "item"/,
    ],
  ])('%s', async (_, content, sentence) => {
    const refusal = await run(content).catch((error: unknown) => error)
    expect(refusal).toBeInstanceOf(BadInput)
    const { message } = refusal as BadInput
    expect(message).toMatch(sentence)
    expect(message).not.toMatch(/\n/)
    expect(message.length).toBeLessThan(400)
  })

  test('a file that is not there', async () => {
    const missing = runCommand(chainTest, ['chain-test', join(folder, 'none.json')])
    await expect(missing).rejects.toThrow(/none\.json cannot be read/)
  })
})

describe('own blocks', () => {
  const OWN = { id: 'peak', kind: 'exponential-maximum', parameters: { unit: 'bar', fallS: 1 } }
  function withOwn() {
    const file = example()
    file.blocks.push(OWN)
    file.connections.push({ from: 'spikes.value', to: 'peak.value' })
    file.tests = [
      {
        name: 'falls to a share of 1/e in its time',
        feed: [{ at: 'peak.value', everyS: 1, values: [100, 0] }],
        expect: [{ at: 'peak.value', atS: 1, value: 100 / Math.E, tolerance: 1e-9 }],
      },
    ]
    return file
  }

  test('are there with --blocks, and not without', async () => {
    const { text } = await run(withOwn(), '--json', '--blocks', 'server/own-blocks/examples')
    expect(JSON.parse(text)).toEqual({ passed: 1, failed: [] })
    await expect(run(withOwn())).rejects.toThrow(/no block "exponential-maximum"/)
  })

  test.each([[chainTest, ['chain-test', EXAMPLE]] as const, [serve, ['serve']] as const])(
    'a folder that is none is bad input',
    async (add, args) => {
      const refusal = runCommand(add, [...args, '--blocks', join(folder, 'none')])
      await expect(refusal).rejects.toBeInstanceOf(BadInput)
      await expect(refusal).rejects.toThrow(/--blocks .*none cannot be read/)
    },
  )
})
