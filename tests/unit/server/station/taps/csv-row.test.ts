import { parse } from 'csv-parse/sync'
import { expect, test } from 'vitest'
import { csvHeader, csvRow } from '../../../../../server/station/taps/csv-row.ts'

const wallMsAt = (timeS: number) => Date.UTC(2024, 0, 15, 8) + timeS * 1000
const valueRow = (value: number | null, quality: 'good' | 'bad' = 'good') =>
  csvRow({ type: 'value', block: 'x', timeS: 1.25, value, unit: 'deg', quality }, wallMsAt)

/** RFC 4180 as a library from npm reads it: every record must have as many fields, and end in CR LF. */
const read = (text: string): string[][] =>
  parse(text, { record_delimiter: '\r\n', relax_column_count: false })

test('the first row names each column with its unit', () => {
  expect(read(csvHeader('angle', 'deg'))).toEqual([
    ['time (s)', 'time (ISO 8601)', 'angle (deg)', 'quality', 'event', 'facts'],
  ])
})

test.each([
  [90.02, '90.02'],
  [0.1 + 0.2, '0.30000000000000004'],
  [-1 / 3, '-0.3333333333333333'],
  [1e-9, '1e-9'],
  [123_456.5, '123456.5'],
  [null, ''],
])('a value of %s has a decimal point and all its digits', (value, text) => {
  const [fields] = read(valueRow(value))
  expect(fields?.[2]).toBe(text)
  if (value !== null) expect(Number(fields?.[2])).toBe(value)
})

test('time stands as seconds of the chain and as ISO 8601, which are one moment', () => {
  const [fields] = read(valueRow(1))
  expect(fields?.[0]).toBe('1.25')
  expect(fields?.[1]).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d$/)
  expect(Date.parse(fields?.[1] ?? '')).toBe(wallMsAt(1.25))
})

test('an event with quotes, commas and line ends in its facts comes out of a reader as it went in', () => {
  const facts = { reason: 'she said "stop", twice\r\nthen went', peakDeg: 91.5 }
  const text = csvRow(
    { type: 'event', block: 'x', timeS: 2, event: 'bend closed', facts },
    wallMsAt,
  )
  const [fields] = read(csvHeader('a', '1') + text).slice(1)
  expect(fields?.slice(2, 5)).toEqual(['', '', 'bend closed'])
  expect(JSON.parse(fields?.[5] ?? '')).toEqual(facts)
})
