import { describe, expect, test } from 'vitest'
import {
  type ParameterField,
  parameterFields,
  readField,
} from '../../../../../dashboard/pages/chain/parameter-field.ts'
import { textOf } from '../../../../../dashboard/pages/chain/schema.ts'
import { catalogue } from '../../../../../server/blocks/index.ts'
import { chainKinds } from '../../../../support/chain-kinds.ts'

function fieldOf(kind: string, name: string): ParameterField {
  const schema = chainKinds.find((one) => one.kind === kind)?.schema ?? {}
  const field = parameterFields(schema).find((one) => one.name === name)
  if (field === undefined) throw new Error(`${kind} has no ${name}.`)
  return field
}
const read = (kind: string, name: string, text: string) => readField(text, fieldOf(kind, name))

describe('a field of a form, from a parameter’s schema', () => {
  test.each([
    ['notch', 'unit', 'choice', 'Default deg'],
    ['notch', 'rateHz', 'number', '≥ 1, ≤ 100000; default 200'],
    ['median', 'window', 'integer', '≥ 3, ≤ 101; default 5'],
    ['bend-watch', 'losesSight', 'boolean', 'Default false'],
    ['formula', 'expression', 'text', 'Default a'],
    ['decode-xdr', 'switchName', 'text', 'Default empty'],
  ] as const)('%s.%s is a %s', (kind, name, form, range) => {
    expect(fieldOf(kind, name)).toMatchObject({ form, range })
    expect(fieldOf(kind, name).help).toMatch(/\.$/)
  })

  test.each([
    ['notch', 'rateHz', '120', 120],
    ['notch', 'rateHz', '12,5', 12.5],
    ['calibration', 'onceCosDeg', '\u22120.2', -0.2],
    ['scale', 'direction', '-1', -1],
    ['notch', 'unit', 'bar', 'bar'],
    ['bend-watch', 'losesSight', 'true', true],
    ['notch', 'rateHz', ' ', undefined],
    ['formula', 'expression', 'a + 1', 'a + 1'],
  ] as const)('%s.%s: “%s” is %j', (kind, name, text, value) => {
    expect(read(kind, name, text)).toEqual({ value })
  })

  test.each([
    ['notch', 'rateHz', 'fast', '“fast” is no number.'],
    ['notch', 'rateHz', '0', 'It must be ≥ 1, ≤ 100000.'],
    ['notch', 'centreHz', '0', 'It must be > 0, ≤ 50000.'],
    ['notch', 'rateHz', 'Infinity', '“Infinity” is no number.'],
    ['median', 'window', '5.5', '“5.5” is no whole number.'],
    ['decode-xdr', 'type', 'ab', 'It must match ^[A-Z]$.'],
    ['formula', 'expression', 'a'.repeat(201), 'At most 200 characters.'],
  ] as const)('%s.%s: “%s” is refused', (kind, name, text, why) => {
    expect(read(kind, name, text)).toEqual({ why })
  })
})

test('every parameter of the catalogue goes through its field and comes out the same', () => {
  for (const { kind } of catalogue)
    for (const field of parameterFields(
      chainKinds.find((one) => one.kind === kind)?.schema ?? {},
    )) {
      const { default: standard } = field.schema
      expect(readField(textOf(standard), field), `${kind}.${field.name}`).toEqual({
        value: standard,
      })
    }
})
