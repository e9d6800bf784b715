import { describe, expect, test } from 'vitest'
import { catalogue } from '../../../../server/blocks/index.ts'
import { dieEncoderChain } from '../../../../server/blocks/shipped/die-encoder.ts'
import type { ChainFile } from '../../../../server/chain/chain-file.ts'
import type { ChainTest } from '../../../../server/chain/chain-test.ts'
import { checkChain } from '../../../../server/chain/check.ts'
import { runChainTests } from '../../../../server/chain/run-tests.ts'

const withTests = (...tests: unknown[]): unknown => ({ ...dieEncoderChain, tests })

describe('tests of the shipped chain', () => {
  test('degrees after scale, at any block in the middle', () => {
    const one: ChainTest = {
      name: 'a quarter turn',
      feed: [
        { at: 'scale.counts', everyS: 0.005, values: [0, 1024, { value: 2048, quality: 'bad' }] },
        { at: 'scale.countsPerTurn', everyS: 0.005, values: [{ repeat: 3, value: 4096 }] as never },
      ],
      expect: [
        { at: 'scale.angle', atS: 0.005, value: 90, tolerance: 1e-9, quality: 'good' },
        { at: 'scale.angle', atS: 0.02, value: 180, quality: 'bad' },
        { at: 'scale.angle', atS: -1, value: null },
      ],
    }
    expect(runChainTests(withTests(one), catalogue)).toEqual({ passed: 1, failed: [] })
  })

  test('tell what came instead: a value, a quality, nothing', () => {
    const one: ChainTest = {
      name: 'wrong on purpose',
      feed: [{ at: 'scale.counts', everyS: 1, values: [7] }],
      expect: [
        { at: 'scale.angle', atS: 0, value: 1 },
        { at: 'scale.angle', atS: 0, quality: 'good' },
        { at: 'scale.angle', atS: -1, value: 1 },
      ],
    }
    const where = { test: 'wrong on purpose', block: 'scale', port: 'angle' }
    // Nobody said how many counts make a turn.
    expect(runChainTests(withTests(one), catalogue)).toEqual({
      passed: 0,
      failed: [
        { ...where, atS: 0, expected: 1, got: 0 },
        { ...where, atS: 0, expected: 'good', got: 'bad' },
        { ...where, atS: -1, expected: 1, got: null },
      ],
    })
  })

  test('lines of the board and of the station go in at the link', () => {
    const one: ChainTest = {
      name: 'datum',
      feed: [{ at: 'link.line', everyS: 1, values: [{ host: 'datum' }, 'rubbish'] }],
      expect: [
        { at: 'command.command', atS: 0, item: { act: 'datum' } },
        { at: 'decode.trouble', atS: 0.5, item: null },
        { at: 'decode.trouble', atS: 1, item: {} },
      ],
    }
    expect(runChainTests(withTests(one), catalogue)).toEqual({ passed: 1, failed: [] })
  })

  test('each begins anew, and a loop goes a row at a time', () => {
    const loop: ChainFile = {
      ...{ format: 'overbend-chain', version: 1, name: 'sum', revision: 1 },
      blocks: [
        { id: 'link', kind: 'link' },
        { id: 'read', kind: 'decode-number' },
        { id: 'turn', kind: 'degrees' },
        { id: 'sum', kind: 'formula', parameters: { expression: 'a + b' } },
        { id: 'last', kind: 'delay' },
      ],
      connections: [
        { from: 'link.line', to: 'read.line' },
        { from: 'read.value', to: 'turn.value' },
        { from: 'turn.angle', to: 'sum.a' },
        { from: 'sum.value', to: 'last.angle' },
        { from: 'last.angle', to: 'sum.b' },
      ],
    }
    const one = (name: string) => ({
      name,
      feed: [{ at: 'sum.a', everyS: 1, values: [{ repeat: 300, value: 1 }] }],
      expect: [
        { at: 'sum.value', atS: 299, value: 300, tolerance: 0, quality: 'uncertain' },
        { at: 'last.angle', atS: 299, value: 299, tolerance: 0 },
      ],
    })
    const tests = [one('first'), one('again')]
    expect(runChainTests({ ...loop, tests }, catalogue)).toEqual({ passed: 2, failed: [] })
  })
})

test('a chain runs alike with tests and without', () => {
  const file = withTests({
    name: 'none',
    feed: [{ at: 'scale.counts', everyS: 1, values: [7] }],
    expect: [{ at: 'scale.angle', atS: 0, value: 1 }],
  })
  const { tests: _, ...plain } = checkChain(file, catalogue).file
  expect(plain).toEqual(dieEncoderChain)
})
