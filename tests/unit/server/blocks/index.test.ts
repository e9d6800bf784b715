import * as Value from 'typebox/value'
import { describe, expect, test } from 'vitest'
import { catalogue } from '../../../../server/blocks/index.ts'
import { writeSnapshot } from '../../../../server/chain/snapshot.ts'

test('no two blocks have one kind', () => {
  expect(new Set(catalogue.map(({ kind }) => kind)).size).toBe(catalogue.length)
})

describe.each(catalogue.map((block) => [block.kind, block] as const))('%s', (_, block) => {
  const standard = Value.Default(block.parameters, {}) as Record<string, unknown>

  test('says in one line what it does, and what each port carries', () => {
    expect(block.summary).toMatch(/^[A-Z].{5,90}\.$/)
    for (const port of [...Object.values(block.inputs), ...Object.values(block.outputs)])
      expect(port.help).toMatch(/^[`A-Z].+\.$/)
  })

  test('has a standard value and one line of help for each parameter, and refuses others', () => {
    expect(Value.Check(block.parameters, standard)).toBe(true)
    expect(Value.Check(block.parameters, { ...standard, misspelt: 1 })).toBe(false)
    for (const schema of Object.values(block.parameters.properties))
      expect((schema as { description?: string }).description).toMatch(/\.$/)
  })

  test('starts with a memory that is plain data', () => {
    expect(() =>
      writeSnapshot('test', new Map([[block.kind, block.start(standard)]])),
    ).not.toThrow()
  })

  test('names only inputs it has as optional', () => {
    for (const input of block.optional ?? []) expect(Object.keys(block.inputs)).toContain(input)
  })

  test('takes any rows without throwing: NaN, infinities, no values, times that stand still', () => {
    const memory = block.start(standard)
    const numbers = [0, Number.NaN, Number.POSITIVE_INFINITY, -1e308, -0, 1e-320]
    const rows = numbers.length
    const column = (carries: string) =>
      carries === 'item'
        ? { timeS: new Float64Array(rows), items: new Array(rows).fill(null), count: 0 }
        : {
            timeS: Float64Array.from([1, 1, 1, 0, 2, 2]),
            value: Float64Array.from(numbers),
            quality: Uint8Array.from([0, 0, 1, 0, 2, 3]),
          }
    const columns = (ports: typeof block.inputs) =>
      Object.fromEntries(Object.entries(ports).map(([name, port]) => [name, column(port.carries)]))
    const frame = { in: columns(block.inputs), out: columns(block.outputs), emit: () => {} }
    expect(() => block.step(frame as never, memory, standard, rows)).not.toThrow()
  })
})
