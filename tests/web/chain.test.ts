import { describe, expect, test } from 'vitest'
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
