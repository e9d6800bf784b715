import { describe, expect, test } from 'vitest'
import { compileChain } from '../../../../server/chain/chain.ts'
import { ChainRefused } from '../../../../server/chain/chain-refused.ts'
import { checkChain } from '../../../../server/chain/check.ts'
import { type ToyFile, toyChain, toys } from './toy-blocks.ts'

const good = () => toyChain('parse link.line, gain parse.value, probe gain.value')

function refusalOf(file: unknown): ChainRefused {
  try {
    compileChain(file, toys)
  } catch (error) {
    if (error instanceof ChainRefused) return error
    throw error
  }
  throw new Error('the chain was taken')
}

const changed = (change: (file: ToyFile) => void): ToyFile => {
  const file = good()
  change(file)
  return file
}

test('a good chain is taken, with its order and the standard parameters filled in', () => {
  const plan = checkChain(good(), toys)
  expect(plan.order).toEqual([0, 1, 2, 3])
  expect(plan.blocks[2]?.parameters).toEqual({ factor: 2 })
})

test('checking does not change the file that was given', () => {
  const file = good()
  checkChain(file, toys)
  expect(file).toEqual(good())
})

describe('refused as no chain', () => {
  const cases: [string, unknown, RegExp][] = [
    ['nothing', undefined, /it must be object/],
    ['null', null, /it must be object/],
    ['a text', '{}', /it must be object/],
    ['a list', [], /it must be object/],
    [
      'another format',
      changed((file) => {
        file.format = 'chain'
      }),
      /format/,
    ],
    [
      'version 0',
      changed((file) => {
        file.version = 0
      }),
      /version/,
    ],
    ['version as text', { ...good(), version: '1' }, /version/],
    [
      'no blocks',
      changed((file) => {
        file.blocks = []
      }),
      /blocks/,
    ],
    [
      'revision 0',
      changed((file) => {
        file.revision = 0
      }),
      /revision/,
    ],
    [
      'revision 1.5',
      changed((file) => {
        file.revision = 1.5
      }),
      /revision/,
    ],
    [
      'revision NaN',
      changed((file) => {
        file.revision = Number.NaN
      }),
      /revision/,
    ],
    [
      'a name with a blank',
      changed((file) => {
        file.name = 'my chain'
      }),
      /name/,
    ],
    ['an unknown key', { ...good(), colour: 'red' }, /unknown keys: colour/],
    [
      'an unknown key of a block',
      changed((file) => void Object.assign(file.blocks[1]!, { x: 10 })),
      /blocks\.1 has unknown keys: x/,
    ],
    [
      'an unknown key of a connection',
      changed((file) => void Object.assign(file.connections[0]!, { via: 'a' })),
      /connections\.0 has unknown keys: via/,
    ],
    [
      'an id that is no name',
      changed((file) => {
        file.blocks[1]!.id = 'Parse 1'
      }),
      /blocks\.1\.id/,
    ],
    [
      'an end without a point',
      changed((file) => {
        file.connections[0]!.from = 'link'
      }),
      /connections\.0\.from/,
    ],
    [
      'an end that names a prototype',
      changed((file) => {
        file.connections[0]!.from = '__proto__.line'
      }),
      /connections\.0\.from/,
    ],
    [
      'parameters that are a list',
      changed((file) => void Object.assign(file.blocks[1]!, { parameters: [1] })),
      /blocks\.1\.parameters/,
    ],
    [
      '5001 blocks',
      changed((file) => {
        file.blocks = Array.from({ length: 5001 }, (_, n) => ({ id: `b${n}`, kind: 'parse' }))
      }),
      /blocks/,
    ],
    [
      '20,001 connections',
      changed((file) => {
        file.connections = new Array(20_001).fill({ from: 'link.line', to: 'parse.line' })
      }),
      /connections/,
    ],
  ]
  test.each(cases)('%s', (_, file, sentence) => {
    const refusal = refusalOf(file)
    expect(refusal.code).toBe('not a chain')
    expect(refusal.message).toMatch(sentence)
  })
})

test('a newer version is told from a broken file, whatever else it holds', () => {
  const refusal = refusalOf({ ...good(), version: 2, novelty: true })
  expect(refusal.code).toBe('newer version')
  expect(refusal.message).toContain('version 2')
})

interface Case {
  file: ToyFile
  code: string
  block?: string
  port?: string
  sentence: RegExp
}

const cases: Record<string, Case> = {
  'an unknown kind': {
    file: changed((file) => {
      file.blocks[2]!.kind = 'amplify'
    }),
    code: 'unknown kind',
    block: 'gain',
    sentence: /there is no block "amplify"/,
  },
  'a kind that is a property of every object': {
    file: changed((file) => {
      file.blocks[2]!.kind = 'constructor'
    }),
    code: 'unknown kind',
    block: 'gain',
    sentence: /constructor/,
  },
  'two blocks of one id': {
    file: changed((file) => {
      file.blocks[2]!.id = 'parse'
    }),
    code: 'duplicate id',
    block: 'parse',
    sentence: /Two blocks are called "parse"/,
  },
  'a parameter out of range': {
    file: changed((file) => {
      file.blocks[2]!.parameters = { factor: 11 }
    }),
    code: 'bad parameters',
    block: 'gain',
    sentence: /factor must be <= 10/,
  },
  'a parameter of another type': {
    file: changed((file) => {
      file.blocks[2]!.parameters = { factor: '2' }
    }),
    code: 'bad parameters',
    block: 'gain',
    sentence: /factor must be number/,
  },
  'a parameter that is NaN': {
    file: changed((file) => {
      file.blocks[2]!.parameters = { factor: Number.NaN }
    }),
    code: 'bad parameters',
    block: 'gain',
    sentence: /factor/,
  },
  'a misspelt parameter': {
    file: changed((file) => {
      file.blocks[2]!.parameters = { facto: 2 }
    }),
    code: 'bad parameters',
    block: 'gain',
    sentence: /there is no facto; it has: factor/,
  },
  'a parameter that only the block can refuse': {
    file: changed((file) => {
      file.blocks[2]!.parameters = { factor: 0 }
    }),
    code: 'bad parameters',
    block: 'gain',
    sentence: /a factor of 0 makes nothing/,
  },
  'no source': {
    file: changed((file) => {
      file.blocks.shift()
      file.connections.shift()
    }),
    code: 'no source',
    sentence: /one "link" block, not 0/,
  },
  'two sources': {
    file: changed((file) => void file.blocks.push({ id: 'link-2', kind: 'link' })),
    code: 'no source',
    sentence: /not 2/,
  },
  'a connection from a block that is not there': {
    file: changed((file) => {
      file.connections[1]!.from = 'reader.value'
    }),
    code: 'unknown block',
    block: 'reader',
    port: 'value',
    sentence: /there is no block "reader"/,
  },
  'a connection to a block that is not there': {
    file: changed((file) => {
      file.connections[1]!.to = 'writer.a'
    }),
    code: 'unknown block',
    block: 'writer',
    port: 'a',
    sentence: /writer\.a/,
  },
  'an output that is not there': {
    file: changed((file) => {
      file.connections[1]!.from = 'parse.number'
    }),
    code: 'unknown port',
    block: 'parse',
    port: 'number',
    sentence: /its outputs are: value/,
  },
  'an input that is not there': {
    file: changed((file) => {
      file.connections[1]!.to = 'gain.b'
    }),
    code: 'unknown port',
    block: 'gain',
    port: 'b',
    sentence: /its inputs are: a/,
  },
  'a port that is a property of every object': {
    file: changed((file) => {
      file.connections[1]!.from = 'parse.toString'
    }),
    code: 'unknown port',
    block: 'parse',
    port: 'toString',
    sentence: /no such port/,
  },
  'an input used as an output': {
    file: changed((file) => {
      file.connections[1]!.from = 'gain.a'
    }),
    code: 'unknown port',
    block: 'gain',
    port: 'a',
    sentence: /outputs are: value/,
  },
  'an output of a block that has none': {
    file: changed((file) => {
      file.connections[1]!.from = 'probe.value'
    }),
    code: 'unknown port',
    block: 'probe',
    port: 'value',
    sentence: /outputs are: none/,
  },
  'unequal units': {
    file: toyChain('parse link.line, to-degrees parse.value, gain to-degrees.angle'),
    code: 'unequal types',
    block: 'gain',
    port: 'a',
    sentence: /carries numbers in deg, but gain\.a takes numbers in 1/,
  },
  'an item into a number': {
    file: toyChain('gain link.line'),
    code: 'unequal types',
    block: 'gain',
    port: 'a',
    sentence: /carries items "raw-line", but gain\.a takes numbers in 1/,
  },
  'an item into another item': {
    file: changed((file) => void file.connections.push({ from: 'link.line', to: 'probe.over' })),
    code: 'unequal types',
    block: 'probe',
    port: 'over',
    sentence: /items "raw-line".*items "over"/,
  },
  'two connections into one input': {
    file: changed((file) => void file.connections.push({ from: 'parse.value', to: 'probe.a' })),
    code: 'input taken',
    block: 'probe',
    port: 'a',
    sentence: /connected twice/,
  },
  'a required input left open': {
    file: changed((file) => void file.connections.splice(1, 1)),
    code: 'input missing',
    block: 'gain',
    port: 'a',
    sentence: /gain\.a is not connected, and "gain" needs it/,
  },
  'a loop': {
    file: toyChain('parse link.line, sum parse.value gain.value, gain sum.value'),
    code: 'loop',
    block: 'sum',
    port: 'b',
    sentence: /gain → sum → gain is a loop/,
  },
  'a block that feeds itself': {
    file: toyChain('parse link.line, sum parse.value sum.value'),
    code: 'loop',
    block: 'sum',
    port: 'b',
    sentence: /sum → sum/,
  },
  'a loop beside one that has a delay': {
    file: toyChain(
      'parse link.line, delay a.value, a=sum parse.value delay.value, b=sum a.value c.value, c=gain b.value',
    ),
    code: 'loop',
    block: 'b',
    port: 'b',
    sentence: /"delay"/,
  },
}

describe('refused with the block and port at fault', () => {
  test.each(Object.entries(cases))('%s', (_, { file, code, block, port, sentence }) => {
    const refusal = refusalOf(file)
    expect({ code: refusal.code, block: refusal.block, port: refusal.port }).toEqual({
      code,
      block,
      port,
    })
    expect(refusal.message).toMatch(sentence)
    expect(refusal.message).toMatch(/\.$/)
  })
})

test('an error of a block that is no RangeError is a mistake in the program, not in the file', () => {
  const broken = toys.map((toy) =>
    toy.kind === 'gain'
      ? {
          ...toy,
          start: () => {
            throw new TypeError('oops')
          },
        }
      : toy,
  )
  expect(() => compileChain(good(), broken)).toThrow(TypeError)
})

test.each([{ delays: true }, { delays: true, latch: () => {} }, { delays: true, setsTime: true }])(
  'a block that delays but does not latch and set its time is a mistake in the program: %o',
  (parts) => {
    const broken = toys.map((toy) => (toy.kind === 'gain' ? { ...toy, ...parts } : toy))
    expect(() => compileChain(good(), broken)).toThrow(/must latch and set its time/)
  },
)
