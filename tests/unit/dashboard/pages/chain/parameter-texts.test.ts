import { Type } from 'typebox'
import { expect, test } from 'vitest'
import { parameterTexts } from '../../../../../dashboard/pages/chain/parameter-texts.ts'
import { catalogue } from '../../../../../server/blocks/index.ts'

const textsOf = (properties: Parameters<typeof Type.Object>[0], parameters = {}) =>
  parameterTexts({
    schema: Type.Object(properties) as unknown as Record<string, unknown>,
    parameters,
  })

test.each([
  [Type.Number({ minimum: 0, maximum: 5 }), '≥ 0, ≤ 5'],
  [Type.Number({ exclusiveMinimum: 0 }), '> 0'],
  [Type.Number({ exclusiveMaximum: 2 }), '< 2'],
  [Type.Union([Type.Literal(1), Type.Literal(-1)]), '1 · -1'],
  [Type.Union([Type.Literal('deg'), Type.Literal('bar')]), 'deg · bar'],
  [Type.Boolean(), ''],
])('%j: %s', (schema, range) => {
  expect(textsOf({ one: schema })[0]?.range).toBe(range)
})

test('a value that is no plain one is written as JSON', () => {
  const given = { list: [1, 2], word: 'die', none: null }
  const schema = { list: Type.Unknown(), word: Type.Unknown(), none: Type.Unknown() }
  expect(textsOf(schema, given).map(({ value }) => value)).toEqual(['[1,2]', 'die', 'null'])
})

test('every parameter of every block says what it is', () => {
  for (const block of catalogue) {
    const schema = block.parameters as unknown as Record<string, unknown>
    for (const { name, help } of parameterTexts({ schema, parameters: {} }))
      expect(help, `${block.kind}.${name}`).toMatch(/\.$/)
  }
})
