import fc from 'fast-check'
import { type TSchema, Type } from 'typebox'
import { describe, expect, test } from 'vitest'
import { BenchAct, OperatorAct } from '../../../../server/messages/commands.ts'
import { BendQuery } from '../../../../server/messages/find.ts'
import { oneOf, orNull, secret, strict } from '../../../../server/messages/schema.ts'
import { Job, Setup } from '../../../../server/messages/setup.ts'
import { Refused } from '../../../../server/web/station-door.ts'
import { compileValidator } from '../../../../server/web/validate.ts'
import { SHOP_JOB, SHOP_SETUP } from '../../../support/fake-bend.ts'

interface Outcome {
  readonly value?: unknown
  readonly error?: Refused
}

function check(schema: TSchema, httpPart: string, value: unknown): Outcome {
  const validate = compileValidator({ schema, httpPart, method: 'POST', url: '/' })
  return validate(value) as Outcome
}

const inBody = (schema: TSchema, value: unknown) => check(schema, 'body', value)
const sentence = (schema: TSchema, value: unknown) => inBody(schema, value).error?.message
const inQuery = (text: Record<string, unknown>) => check(BendQuery, 'querystring', text)

describe('a body', () => {
  test('that is right is handed on as it is', () => {
    expect(inBody(Job, SHOP_JOB)).toEqual({ value: SHOP_JOB })
    expect(inBody(Setup, SHOP_SETUP)).toEqual({ value: SHOP_SETUP })
  })

  test.each([
    [{ wantedDeg: 250 }, 'wantedDeg must be at most 200, not 250.'],
    [{ wantedDeg: 0 }, 'wantedDeg must be at least 0.5, not 0.'],
    [{ wantedDeg: '90' }, 'wantedDeg must be a number, not "90".'],
    [{ wantedDeg: null }, 'wantedDeg must be a number, not null.'],
    [{ wantedDeg: Number.NaN }, 'wantedDeg must be a number, not null.'],
    [{ wantedDeg: Number.POSITIVE_INFINITY }, 'wantedDeg must be a number, not null.'],
    [{ wantedDeg: [90] }, 'wantedDeg must be a number, not [90].'],
    [{ wantedDeg: true }, 'wantedDeg must be a number, not true.'],
    [{ piece: 1.5 }, 'piece must be an integer, not 1.5.'],
    [{ piece: -1 }, 'piece must be at least 1, not -1.'],
    [{ piece: 1e9 }, 'piece must be at most 1000000, not 1000000000.'],
    [{ part: '' }, 'part must not be empty, not "".'],
    [{ part: 7 }, 'part must be a string, not 7.'],
    [{ part: 'x'.repeat(81) }, `part must be at most 80 characters long, not "${'x'.repeat(39)}….`],
    [{ colour: 'red' }, '"colour" is not known here; leave it out.'],
    [{ operator: undefined }, 'operator must be a string, not nothing.'],
  ])('job with %j: %s', (change, expected) => {
    expect(sentence(Job, { ...SHOP_JOB, ...change })).toBe(expected)
  })

  test('names a field that is missing', () => {
    const { operator: _, ...rest } = SHOP_JOB
    const { error } = inBody(Job, rest)
    expect(error).toMatchObject({ message: 'operator is missing.', field: 'operator' })
  })

  test('names a field inside another by its path', () => {
    const thick = { ...SHOP_SETUP, tube: { ...SHOP_SETUP.tube, wallMm: 1000 } }
    expect(inBody(Setup, thick).error).toMatchObject({
      code: 'bad-input',
      message: 'tube.wallMm must be at most 100, not 1000.',
      field: 'tube.wallMm',
    })
    const { lot: _, ...noLot } = SHOP_SETUP.tube
    expect(sentence(Setup, { ...SHOP_SETUP, tube: noLot })).toBe('tube.lot is missing.')
    const odd = { ...SHOP_SETUP, die: { ...SHOP_SETUP.die, hidden: 1 } }
    expect(sentence(Setup, odd)).toBe('"die.hidden" is not known here; leave it out.')
  })

  test.each([undefined, null, 7, 'text', [], [SHOP_JOB], true])(
    'that is %j is no body',
    (value) => {
      expect(sentence(Job, value)).toMatch(/^The body must be an object\.$|is missing\.$/)
    },
  )

  test('lists the words that are known', () => {
    expect(sentence(OperatorAct, { act: 'jump' })).toBe(
      'act must be one of "datum", "accept", "again", "abandon", "pedal", "touch", "check", not "jump".',
    )
  })

  test('is not read kindly: a number in quotes stays text', () => {
    expect(inBody(Job, { ...SHOP_JOB, piece: '1' }).error?.field).toBe('piece')
  })

  test('with nothing optional in it is right', () => {
    expect(inBody(BenchAct, {})).toEqual({ value: {} })
  })

  test('does not reach a prototype', () => {
    const hostile = JSON.parse('{"__proto__": {"act": "datum"}}')
    expect(inBody(OperatorAct, hostile).error).toBeInstanceOf(Refused)
    expect(inBody(OperatorAct, { act: 'datum', constructor: {} }).error?.field).toBe('constructor')
  })

  test('says of a value that may be null what else it may be', () => {
    const schema = strict({ checkedDeg: orNull(Type.Number({ maximum: 360 })) })
    expect(inBody(schema, { checkedDeg: null })).toEqual({ value: { checkedDeg: null } })
    expect(sentence(schema, { checkedDeg: 400 })).toBe('checkedDeg must be at most 360, not 400.')
    expect(sentence(schema, { checkedDeg: 'x' })).toBe('checkedDeg must be a number, not "x".')
  })

  test.each([
    [Type.Number({ exclusiveMinimum: 0 }), 0, 'v must be more than 0, not 0.'],
    [Type.Number({ exclusiveMaximum: 1 }), 1, 'v must be less than 1, not 1.'],
    [Type.String({ minLength: 3 }), 'ab', 'v must be at least 3 characters long, not "ab".'],
    [Type.Array(Type.Null(), { maxItems: 1 }), [null, null], 'v must have at most 1 entries'],
    [Type.Literal(1), 2, 'v must be 1, not 2.'],
    [Type.String({ pattern: '^a$' }), 'b', 'v must look like ^a$, not "b".'],
    [Type.Array(Type.Number(), { uniqueItems: true }), [1, 1], 'v is not what is asked for here'],
  ])('words the rule %j', (schema, value, expected) => {
    expect(sentence(strict({ v: schema }), { v: value })).toContain(expected)
  })

  test('whatever it is (seed 20260105): accepted as it is, or refused in one short sentence', () => {
    const { part, operator, ...numbers } = SHOP_JOB
    const odd = fc.oneof(fc.double(), fc.integer(), fc.string(), fc.anything())
    const some = Object.fromEntries(Object.keys(numbers).map((key) => [key, odd]))
    const jobs = fc.record(some, { requiredKeys: [] }).map((change) => ({ ...SHOP_JOB, ...change }))
    fc.assert(
      fc.property(fc.oneof(fc.anything(), jobs), (value) => {
        const { error, value: accepted } = inBody(Job, value)
        if (error === undefined) {
          expect(accepted).toBe(value)
          return
        }
        expect(error.code).toBe('bad-input')
        expect(error.message).toMatch(/^[^\n]{1,300}\.$/)
      }),
      { seed: 20260105, numRuns: 1000 },
    )
  })
})

describe('a query', () => {
  test('reads plain numbers and fills in what is left out', () => {
    expect(inQuery({ before: '12', limit: '5' })).toEqual({ value: { before: 12, limit: 5 } })
    expect(inQuery({})).toEqual({ value: { limit: 50 } })
    expect(check(BendQuery, 'querystring', undefined)).toEqual({ value: { limit: 50 } })
  })

  test('leaves a number alone where text is asked for', () => {
    expect(inQuery({ part: '12' })).toEqual({ value: { part: '12', limit: 50 } })
  })

  test.each([
    '',
    ' 5',
    '5 ',
    '0x10',
    '1e2',
    '5.5',
    'abc',
    'NaN',
    'Infinity',
    '٥',
    '+5',
    '1_0',
    '99999999999999999999',
    '-1',
    '0',
    '501',
  ])('refuses limit=%j and names it', (limit) => {
    const { error } = inQuery({ limit })
    expect(error).toMatchObject({ code: 'bad-input', field: 'limit' })
  })

  test('refuses a value given twice', () => {
    expect(inQuery({ limit: ['1', '2'] }).error?.message).toBe(
      'limit must be an integer, not ["1","2"].',
    )
  })

  test('refuses a word that is not known', () => {
    expect(inQuery({ verdict: 'lost' }).error?.field).toBe('verdict')
    expect(inQuery({ offset: '1' }).error?.message).toBe(
      '"offset" is not known here; leave it out.',
    )
  })

  test('does not read inherited names as properties of the schema', () => {
    expect(inQuery({ constructor: '1', toString: '2' }).error).toBeInstanceOf(Refused)
  })
})

describe('a secret', () => {
  const key = secret('Known to one.', { minLength: 10, maxLength: 20 })
  const Asked = strict({ key, deep: Type.Optional(orNull(strict({ key }))) })
  const good = 'x'.repeat(10)

  test.each<[object, string]>([
    [{ key: 'geheim' }, 'key must be at least 10 characters long.'],
    [{ key: 'geheim'.repeat(4) }, 'key must be at most 20 characters long.'],
    [{ key: 987654 }, 'key must be a string.'],
    [{ key: ['geheim'] }, 'key must be a string.'],
    [{ key: good, deep: { key: 'geheim' } }, 'deep.key must be at least 10 characters long.'],
    [{ key: good, deep: ['geheim'] }, 'deep must be an object.'],
  ])('%j is refused and not repeated', (body, expected) => {
    expect(sentence(Asked, body)).toBe(expected)
  })

  test('that fits is let through, and what stands beside it is still repeated', () => {
    expect(inBody(Asked, { key: good })).toEqual({ value: { key: good } })
    const Beside = strict({ key, role: oneOf(['a', 'b']) })
    expect(sentence(Beside, { key: good, role: 'c' })).toBe(
      'role must be one of "a", "b", not "c".',
    )
  })
})
