import { describe, expect, test } from 'vitest'
import { dieEncoderChain } from '../../server/blocks/shipped/die-encoder.ts'
import { makeWeb } from '../support/web.ts'

describe('GET /api/chain', () => {
  test('tells every block with its parameters, their schema and its ports', async () => {
    const { app, station } = makeWeb()
    const answer = await app.inject('/api/chain')
    expect(answer.statusCode).toBe(200)
    expect(answer.json()).toEqual(JSON.parse(JSON.stringify(station.chain.view())))
    const { blocks } = answer.json()
    const smoother = blocks.find(({ id }: { id: string }) => id === 'smoother')
    expect(smoother.schema.properties.noiseDeg).toMatchObject({ default: 0.03, maximum: 10 })
  })
})

describe('GET /api/chain/blocks/reference', () => {
  test('tells each block of the catalogue, with what it makes of a signal', async () => {
    const { app } = makeWeb()
    const reference = (await app.inject('/api/chain/blocks/reference')).json()
    const kinds = (await app.inject('/api/chain/blocks')).json()
    const kindOf = ({ kind }: { kind: string }) => kind
    expect(reference.map(kindOf)).toEqual(kinds.map(kindOf))
    const median = reference.find((block: { kind: string }) => block.kind === 'median')
    expect(median).toMatchObject({ delaySamples: 2, ownFile: null })
    expect(median.example.outputs[0].values).toHaveLength(median.example.timeS.length)
  })
})

describe('GET /api/chain/seen', () => {
  test('tells an output each, with a clock to tell their age by', async () => {
    const { app, station } = makeWeb()
    const { nowS, outputs, revision } = (await app.inject('/api/chain/seen')).json()
    expect(revision).toBe(station.chain.view().revision)
    expect(nowS).toBe(station.hello().nowS)
    const count = station.chain.view().blocks.reduce((sum, block) => sum + block.outputs.length, 0)
    expect(outputs).toHaveLength(count)
    expect(outputs[0]).toEqual({
      ...{ block: 'link', port: 'line', good: 0, uncertain: 0, bad: 0 },
      ...{ value: null, quality: 3, timeS: null },
    })
  })
})

describe('POST /api/chain/check', () => {
  const formula = (expression: string) => ({
    ...dieEncoderChain,
    blocks: [...dieEncoderChain.blocks, { id: 'sum', kind: 'formula', parameters: { expression } }],
    connections: [...dieEncoderChain.connections, { from: 'datum.angle', to: 'sum.a' }],
  })
  const blocks = (count: number) => ({
    ...dieEncoderChain,
    blocks: Array.from({ length: count }, (_, n) => ({ id: `b${n}`, kind: 'delay' })),
  })
  test.each<[string, unknown, number, RegExp]>([
    ['a newer version', { ...dieEncoderChain, version: 2 }, 400, /version 2.*reads up to 1/],
    [
      'an unknown block',
      { ...dieEncoderChain, blocks: [{ id: 'x', kind: 'abacus' }] },
      400,
      /no block "abacus"/,
    ],
    ['a hundred thousand blocks', blocks(100_000), 413, /larger than/],
    ['a formula that loops', formula('a; while (1) {}'), 400, /";" at place 2/],
    ['a formula that reads the process', formula('process.env'), 400, /no "process"/],
    ['a formula that reads a prototype', formula('a.constructor'), 400, /expression is refused/],
  ])('%s is refused with one sentence', async (_, file, status, sentence) => {
    const { app, station } = makeWeb()
    const revision = station.chain.view().revision
    const answer = await app.inject({ method: 'POST', url: '/api/chain/check', payload: { file } })
    expect(answer.statusCode).toBe(status)
    expect(answer.json().sentence).toMatch(sentence)
    expect(answer.json().sentence).not.toMatch(/\n/)
    expect(station.chain.view().revision).toBe(revision)
  })
})
