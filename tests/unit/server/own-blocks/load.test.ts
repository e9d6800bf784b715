import { createHash } from 'node:crypto'
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { dieEncoderChain } from '../../../../server/blocks/shipped/die-encoder.ts'
import { checkChain } from '../../../../server/chain/check.ts'
import { BAD, GOOD, NONE } from '../../../../server/chain/column.ts'
import { rigChain } from '../../../../server/chain/rig.ts'
import { catalogueWith, SHIPPED } from '../../../../server/own-blocks/catalogue.ts'
import { OwnBlocksRefused } from '../../../../server/own-blocks/load.ts'

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'overbend-own-blocks-'))
})
afterEach(() => rmSync(folder, { recursive: true }))

/** A block with one thing done otherwise. */
function source({
  parameters = '{}',
  start = '({ sum: 0 })',
  step = 'frame.out.value.value[row] = 2 * value; frame.out.value.quality[row] = quality',
  more = '',
  kind = 'mine',
} = {}): string {
  return `
export default ({ defineBlock, number, item, strict, Type, GOOD, BAD, NONE }) =>
  defineBlock({
    kind: '${kind}',
    summary: 'Made for a test.',
    parameters: strict(${parameters}),
    inputs: { value: number('deg', 'In.') },
    outputs: { value: number('deg', 'Out.') },
    ${more}
    start: (parameters) => ${start},
    step(frame, memory, parameters, rows) {
      for (let row = 0; row < rows; row++) {
        const value = frame.in.value.value[row]
        const quality = frame.in.value.quality[row]
        ${step}
      }
    },
  })
`
}

const put = (text: string, name = 'mine.mjs') => writeFileSync(join(folder, name), text)

async function load(text: string, name?: string) {
  put(text, name)
  return catalogueWith(folder)
}

const sha256 = (text: string) => createHash('sha256').update(text).digest('hex')

const CHAIN = {
  ...({ format: 'overbend-chain', version: 1, name: 'mine', revision: 1 } as const),
  blocks: [
    { id: 'link', kind: 'link' },
    { id: 'read', kind: 'decode-number' },
    { id: 'turn', kind: 'degrees' },
    { id: 'own', kind: 'mine' },
  ],
  connections: [
    { from: 'link.line', to: 'read.line' },
    { from: 'read.value', to: 'turn.value' },
    { from: 'turn.angle', to: 'own.value' },
  ],
}

/** What it makes of some values: good ones by themselves, none for null. */
async function made(text: string, values: readonly (number | null)[]) {
  const catalogue = await load(text)
  const rig = rigChain(CHAIN, catalogue.blocks, { feeds: ['own.value'], probes: ['own.value'] })
  const seen = rig.run(
    values.map((value, row) => ({
      timeS: row,
      cells: new Map(value === null ? [] : [[0, { value, quality: GOOD }]]),
    })),
  )
  return { seen: seen.map(({ value, quality }) => [value, quality]), own: catalogue.own[0] }
}

test('a block of a file is one of the catalogue, named with its file and hash', async () => {
  const text = source()
  const { blocks, own } = await load(text)
  expect(blocks).toHaveLength(SHIPPED.blocks.length + 1)
  expect(own).toMatchObject([{ file: 'mine.mjs', sha256: sha256(text), trouble: { times: 0 } }])
  const { seen } = await made(text, [1, null, 3])
  expect(seen).toEqual([
    [2, GOOD],
    [6, GOOD],
  ])
})

test('the example of the guide loads', async () => {
  const file = 'exponential-maximum.mjs'
  const { own } = await load(readFileSync(join('server/own-blocks/examples', file), 'utf8'), file)
  expect(own[0]?.block.kind).toBe('exponential-maximum')
})

test('without a folder there are none', async () => {
  expect(await catalogueWith(null)).toBe(SHIPPED)
})

describe('a folder is refused with one sentence that names the file', () => {
  const shape = (change: string) =>
    `export default ({ defineBlock, number, strict }) => ({ ...defineBlock({ kind: 'mine', summary: 'x',
      parameters: strict({}), inputs: { a: number('deg', 'In.') }, outputs: { b: number('deg', 'Out.') },
      start: () => ({}), step() {} }), ${change} })`
  test.each<[string, string, RegExp]>([
    ['a syntax error', 'const a = 1\nconst = 2\n', /cannot be loaded in line 2: Unexpected token/],
    ['a text cut off', 'export default (', /cannot be loaded in line 1: Unexpected end/],
    ['no export', 'const nothing = 1', /must export a function/],
    ['an export that is no function', 'export default { kind: "mine" }', /must export a function/],
    ['a module that throws', 'throw new Error("Not today.\\nNever.")', /loaded.*Not today. Never/],
    ['a function that throws', 'export default () => { throw 7 }', /function threw: 7/],
    [
      'a function that throws no text',
      'export default () => { throw { toString: 1 } }',
      /no error/,
    ],
    ['a function that gives nothing', 'export default () => {}', /gives no block/],
    ['an import of another file', 'import "./other.mjs"', /cannot be loaded/],
    ['a kind that is not the name', source({ kind: 'other' }), /kind is "other"; name the file/],
    ['a start that throws', source({ start: 'nowhere.sum' }), /nowhere is not defined/],
    ['a start that gives a Map', source({ start: 'new Map()' }), /start must give an object/],
    ['a start that gives a list', source({ start: '[]' }), /start must give an object/],
    ['a start that gives 10 MB', source({ start: '({ a: new Array(1e6).fill(0) })' }), /10,000/],
    ['a step that throws', source({ step: 'nowhere.go()' }), /it threw: nowhere is not defined/],
    [
      'a step that gives NaN',
      source({ step: 'frame.out.value.quality[row] = GOOD; frame.out.value.value[row] = NaN' }),
      /no number/,
    ],
    [
      'a memory that grows keys',
      source({ step: 'memory["k" + row] = 1' }),
      /memory changed its shape/,
    ],
    [
      'a column of another length',
      source({ step: 'frame.out.value.value = new Float64Array(1)' }),
      /it threw/,
    ],
    ['a step that emits', source({ step: 'frame.emit(1)' }), /no outlet/],
    ['an outlet', source({ more: "outlet: 'bend'," }), /unknown keys: outlet/],
    ['a block that sets time', source({ more: 'setsTime: true,' }), /unknown keys: setsTime/],
    ['a block that closes loops', source({ more: 'delays: true,' }), /unknown keys: delays/],
    [
      'a parameter without a default',
      source({ parameters: "{ a: Type.Number({ description: 'x' }) }" }),
      /"a" has no default/,
    ],
    [
      'a default out of range',
      source({ parameters: "{ a: Type.Number({ description: 'x', default: -1, minimum: 0 }) }" }),
      /defaults are refused/,
    ],
    ['no inputs', shape('inputs: {}'), /has no inputs/],
    [
      'an unknown unit',
      shape("inputs: { a: number('furlong', 'In.') }"),
      /inputs\.a has the unit "furlong"; take one of count, deg, .*, 1, 1\/s\.$/,
    ],
    [
      'a unit of no parameter',
      shape("inputs: { a: number({ parameter: 'u', as: 'itself' }, 'x') }"),
      /names no unit/,
    ],
    ['parameters of another sort', shape('parameters: 5'), /not made with strict/],
    ['no step', shape('step: null'), /must be functions/],
  ])('%s', async (_, text, sentence) => {
    const refusal = await load(text).catch((error: unknown) => error)
    expect(refusal).toBeInstanceOf(OwnBlocksRefused)
    const { message } = refusal as Error
    expect(message).toMatch(sentence)
    expect(message).toMatch(/^The block file mine\.mjs cannot be used: .*\.$/)
    expect(message.length).toBeLessThan(400)
  })

  test.each<[string, string, RegExp]>([
    ['a kind that is taken', 'median.mjs', /there is a block "median" already/],
    ['a name that is no kind', 'My Block.mjs', /its name is no kind/],
  ])('%s', async (_, name, sentence) => {
    await expect(load(source(), name)).rejects.toThrow(sentence)
  })

  test('the same kind twice', async () => {
    put(source(), 'mine.js')
    await expect(load(source())).rejects.toThrow(/mine\.mjs.*a block "mine" already/)
  })

  test('an empty folder, and none', async () => {
    await expect(catalogueWith(folder)).rejects.toThrow(/holds no file/)
    await expect(catalogueWith(join(folder, 'none'))).rejects.toThrow(/cannot be read/)
  })

  test('a file that is too large, or a folder called like one', async () => {
    await expect(load(`// ${'x'.repeat(300_000)}`)).rejects.toThrow(/262144 at most/)
    rmSync(join(folder, 'mine.mjs'))
    mkdirSync(join(folder, 'mine.mjs'))
    await expect(catalogueWith(folder)).rejects.toThrow(/mine\.mjs cannot be used/)
  })
})

describe('what it does in the middle of the work stops nothing', () => {
  test('a step that throws once: the batch is bad, then it goes on, and it is counted', async () => {
    const step =
      'if (value === 1000) throw new Error("too much"); frame.out.value.value[row] = value; frame.out.value.quality[row] = quality'
    const values = Array.from({ length: 512 }, (_, row) => (row === 300 ? 1000 : row % 100))
    const { seen, own } = await made(source({ step }), values)
    expect(seen).toHaveLength(512)
    expect(seen.slice(0, 256).every(([, quality]) => quality === GOOD)).toBe(true)
    expect(seen.slice(256).every(([, quality]) => quality === BAD)).toBe(true)
    expect(own?.trouble).toEqual({ times: 1, last: 'it threw: too much' })
  })

  test('NaN, infinity and qualities that are none become bad values of 0', async () => {
    const step =
      'frame.out.value.value[row] = value === 900 ? NaN : value === 901 ? Infinity : value; frame.out.value.quality[row] = value === 902 ? 77 : quality'
    const { seen, own } = await made(source({ step }), [900, 901, 902, 5])
    expect(seen).toEqual([
      [0, BAD],
      [0, BAD],
      [902, BAD],
      [5, GOOD],
    ])
    expect(own?.trouble.times).toBe(1)
  })

  test('what it writes into its inputs, nobody else sees', async () => {
    const step = 'frame.in.value.value[row] = -1; frame.in.value.quality[row] = NONE'
    const catalogue = await load(source({ step }))
    const rig = rigChain(CHAIN, catalogue.blocks, {
      ...{ feeds: ['turn.value'], probes: ['turn.angle'], keep: ['own'] },
    })
    const seen = rig.run([{ timeS: 0, cells: new Map([[0, { value: 3, quality: GOOD }]]) }])
    expect(seen).toMatchObject([{ value: 3, quality: GOOD }])
  })

  test('a memory that cannot be kept is begun anew: snapshots still can be taken', async () => {
    const step =
      'if (value === 1000) memory.sum = new Map(); else memory.sum += 1; frame.out.value.value[row] = memory.sum > 0 ? memory.sum : 0; frame.out.value.quality[row] = quality'
    const { seen, own } = await made(source({ step }), [...new Array<number>(255).fill(1), 1000, 1])
    expect(seen.at(-1)).toEqual([1, GOOD])
    expect(own?.trouble.last).toMatch(/memory changed its shape/)
  })

  test('a forgotten place holds nothing', async () => {
    const { seen } = await made(source({ step: '' }), [1, 2])
    expect(seen.map(([, quality]) => quality).filter((quality) => quality !== NONE)).toEqual([])
  })
})

describe('code is named in the chain', () => {
  test('a checked chain names the hash of its own blocks, and no others', async () => {
    const text = source()
    const { blocks } = await load(text)
    const { file } = checkChain(CHAIN, blocks)
    expect(file.blocks.map(({ code }) => code)).toEqual([
      undefined,
      undefined,
      undefined,
      sha256(text),
    ])
    expect(checkChain(file, blocks).file).toEqual(file)
    expect(checkChain(dieEncoderChain, blocks).file).toBe(dieEncoderChain)
  })

  test('other code than it was made with is refused, with both hashes and what to do', async () => {
    const { blocks } = await load(source())
    const { file } = checkChain(CHAIN, blocks)
    const changed = source({ step: '' })
    const others = await load(changed)
    expect(() => checkChain(file, others.blocks)).toThrow(
      `SHA-256 ${sha256(source()).slice(0, 12)}…), and the file of "mine" has SHA-256 ${sha256(changed).slice(0, 12)}… now`,
    )
    expect(() => checkChain(CHAIN, others.blocks)).not.toThrow()
    expect(() => checkChain(file, SHIPPED.blocks)).toThrow(/there is no block "mine"/)
    const taken = { ...dieEncoderChain.blocks[0]!, code: sha256('x') }
    const shipped = { ...dieEncoderChain, blocks: [taken, ...dieEncoderChain.blocks.slice(1)] }
    expect(() => checkChain(shipped, blocks)).toThrow(/"link" now comes with the program/)
  })
})
