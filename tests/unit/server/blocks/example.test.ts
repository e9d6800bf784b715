import { describe, expect, test } from 'vitest'
import { catalogue } from '../../../../server/blocks/index.ts'
import { SHIPPED } from '../../../../server/own-blocks/catalogue.ts'
import { makeReference } from '../../../../server/station/block-reference.ts'

const reference = makeReference(SHIPPED)()
const exampleOf = (kind: string) => {
  const example = reference.find((block) => block.kind === kind)?.example
  if (!example) throw new Error(`"${kind}" has no example`)
  return example
}
const valuesOf = (kind: string, port: string) =>
  (exampleOf(kind).outputs.find(({ name }) => name === port)?.values ?? []).filter(
    (value) => value !== null,
  )

describe('every block of the catalogue', () => {
  test.each(catalogue.map(({ kind }) => kind))('%s shows something coming out', (kind) => {
    const { outputs, told, inputs } = exampleOf(kind)
    const came = outputs.filter(
      ({ values, items }) => values.some((one) => one !== null) || items.length > 0,
    )
    // This end of the chain tells a board's counters once a second: nothing within one.
    if (kind !== 'device-feed') expect(came.length + told.length).toBeGreaterThan(0)
    if (kind !== 'link') expect(inputs.length).toBeGreaterThan(0)
  })

  test('has text for each port and parameter', () => {
    for (const { summary, inputs, outputs, schema } of reference) {
      expect(summary).not.toBe('')
      for (const { help } of [...inputs, ...outputs]) expect(help).not.toBe('')
      const properties = Object.values(
        schema['properties'] as Record<string, { description?: string }>,
      )
      for (const { description } of properties) expect(description ?? '').not.toBe('')
    }
  })
})

describe('the pictures show what the blocks say', () => {
  test('a median takes the spike out', () => {
    const given = exampleOf('median').inputs[0]?.values.map(Number) ?? []
    expect(Math.max(...given)).toBeGreaterThan(45)
    expect(Math.max(...valuesOf('median', 'value'))).toBeLessThan(27)
  })

  test('a notch takes the hum off a level, once it has come in', () => {
    const level = valuesOf('notch', 'value').slice(80, 105)
    expect(Math.max(...level) - Math.min(...level)).toBeLessThan(1)
  })

  test('a threshold with hysteresis goes on once', () => {
    expect(
      exampleOf('threshold').outputs.find(({ name }) => name === 'crossing')?.items,
    ).toHaveLength(1)
  })

  test('a delay lags by one', () => {
    expect(reference.find(({ kind }) => kind === 'delay')?.delaySamples).toBe(1)
  })

  test('the bend watch tells a bend, and the stop cue its stages', () => {
    const texts = (kind: string) =>
      exampleOf(kind)
        .outputs.flatMap(({ items }) => items.map(({ text }) => text))
        .join(' ')
    expect(texts('bend-watch')).toMatch(/"bending".*"settled"/)
    expect(texts('stop-cue')).toMatch(/"stop"/)
  })
})
