import { describe, expect, test } from 'vitest'
import { csvOf, jsonOf } from '../../../../server/history/export.ts'
import type { Bend, NewBend } from '../../../../server/messages/bends.ts'
import { newBend, newCalibration, newCheck, readoutOf } from './shop.ts'

const chained = { previousHash: 'd'.repeat(64), hash: 'e'.repeat(64) }
const READOUT = readoutOf(
  { id: 1, ...newCalibration(), ...chained },
  { id: 3, ...newCheck(), ...chained },
)

function bend(n: number, changes: Partial<NewBend> = {}): Bend {
  const given = newBend(n, changes)
  return {
    id: n,
    ...given,
    lot: given.tube.lot,
    part: given.job.part,
    piece: given.job.piece,
    bendNumber: given.job.bendNumber,
    operator: given.job.operator,
    rawLines: 3,
    rawSha256: 'a'.repeat(64),
    previousHash: 'b'.repeat(64),
    hash: 'c'.repeat(64),
  }
}
const withPart = (part: string) => bend(1, { job: { ...newBend(1).job, part } })
const csv = (bends: Iterable<Bend>, hasMark = false) => [...csvOf(bends, hasMark)].join('')

/** A reader of RFC 4180, written apart from the writer. */
function parse(text: string): string[][] {
  const rows: string[][] = [[]]
  const fields = /(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n|$)/gy
  for (let match = fields.exec(text); match; match = fields.exec(text)) {
    rows.at(-1)!.push(match[1]?.replaceAll('""', '"') ?? match[2]!)
    if (match[3] === '\r\n') rows.push([])
    if (match[3] === '' || fields.lastIndex === text.length) break
  }
  return rows.filter((row) => row.length > 0)
}
const cellOf = (text: string, name: string) => {
  const [head = [], row = []] = parse(text)
  return row[head.indexOf(name)]
}

describe('CSV', () => {
  test('a header, then a line a bend, each with as many fields', () => {
    const [head = [], ...rows] = parse(csv([bend(1), bend(2)]))
    expect(rows).toHaveLength(2)
    expect(rows.map((row) => row.length)).toEqual([head.length, head.length])
    expect(new Set(head).size).toBe(head.length)
  })

  test('the names scripts may rely on are columns', () => {
    const [head = []] = parse(csv([]))
    for (const name of [
      ...['wantedDeg', 'commandedDeg', 'peakDeg', 'releasedDeg', 'checkedDeg', 'hits', 'verdict'],
      ...[
        'startedAt',
        'finishedAt',
        'lot',
        'part',
        'piece',
        'operator',
        'chainRevision',
        'calibration',
      ],
    ])
      expect(head).toContain(name)
  })

  test('values are those of the bend; what is not there is empty', () => {
    const text = csv([bend(7)])
    expect(cellOf(text, 'id')).toBe('7')
    expect(cellOf(text, 'peakDeg')).toBe('93.507')
    expect(cellOf(text, 'checkedDeg')).toBe('')
    expect(cellOf(text, 'simulated')).toBe('true')
    expect(cellOf(text, 'predictedLowDeg')).toBe('2.9')
    expect(cellOf(csv([bend(7, { prediction: null })]), 'predictedLowDeg')).toBe('')
    for (const name of ['calibrationNumber', 'checkNumber', 'checkStanding', 'releasedExpandedDeg'])
      expect(cellOf(text, name)).toBe('')
    const checked = csv([bend(7, { readout: READOUT })])
    expect(cellOf(checked, 'calibrationNumber')).toBe('1')
    expect(cellOf(checked, 'checkNumber')).toBe('3')
    expect(cellOf(checked, 'checkStanding')).toBe('overdue')
    expect(cellOf(checked, 'releasedExpandedDeg')).toBe('0.14')
    expect(cellOf(csv([bend(1, { datumDeg: 0.000001 })]), 'datumDeg')).toBe('0.000001')
  })

  test('the revision of the drawing, where the job has one', () => {
    const { job } = newBend(1)
    expect(
      cellOf(csv([bend(1, { job: { ...job, drawingRevision: 'C' } })]), 'drawingRevision'),
    ).toBe('C')
    expect(cellOf(csv([bend(1)]), 'drawingRevision')).toBe('')
  })

  test('the angle finder, where the job names one', () => {
    const { job } = newBend(1)
    expect(cellOf(csv([bend(1, { job: { ...job, angleFinder: 'F-3' } })]), 'angleFinder')).toBe(
      'F-3',
    )
    expect(cellOf(csv([bend(1)]), 'angleFinder')).toBe('')
  })

  test('times stand as recorded, with offset, and as UTC', () => {
    const text = csv([bend(1, { startedAt: '2026-03-29T01:59:59.123+01:00' })])
    expect(cellOf(text, 'startedAt')).toBe('2026-03-29T01:59:59.123+01:00')
    expect(cellOf(text, 'startedAtUtc')).toBe('2026-03-29T00:59:59.123Z')
    expect(cellOf(text, 'finishedAtUtc')).toBe(bend(1).finishedAt)
  })

  test('what the uncertainty leaves of a verdict stands beside it, here and in JSON', () => {
    const near = bend(7, { readout: { ...READOUT, standing: 'good', releasedExpandedDeg: 0.45 } })
    expect([cellOf(csv([near]), 'verdict'), cellOf(csv([near]), 'proof')]).toEqual([
      ...['in', 'undecided'],
    ])
    expect(cellOf(csv([bend(7)]), 'proof')).toBe('')
    expect(JSON.parse([...jsonOf([near], () => [])].join(''))).toMatchObject([
      { verdict: 'in', proof: 'undecided', acts: [] },
    ])
  })

  test('lines end in CR LF (RFC 4180), the last one too', () => {
    const text = csv([bend(1)])
    expect(text.endsWith('\r\n')).toBe(true)
    expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/)
  })

  test.each(['a,b', 'a"b', '"', 'a\r\nb', 'a\nb', 'µ — ü', ',', '""'])(
    'text %j comes back',
    (part) => {
      expect(cellOf(csv([withPart(part)]), 'part')).toBe(part)
    },
  )

  test.each(['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1', '\n=1', '=HYPERLINK("x","y")'])(
    'text %j is no formula',
    (part) => {
      const cell = cellOf(csv([withPart(part)]), 'part')
      expect(cell).toBe(`'${part}`)
    },
  )

  test.each(['＝1+1', '＋1', '－1', '＠SUM(A1)'])(
    'nor is %j, whose sign is as wide as a letter',
    (part) => {
      expect(cellOf(csv([withPart(part)]), 'part')).toBe(`'${part}`)
    },
  )

  // Where numbers have a decimal comma, spreadsheets part the columns of a CSV at semicolons.
  test.each([
    ['Rail;=1+1', "Rail;'=1+1"],
    ['a; -1;\t@b', "a; '-1;\t'@b"],
    ['Rail;\n+1', "Rail;\n'+1"],
    ['Rail; 2 = 2', 'Rail; 2 = 2'],
  ])('text %j begins no cell with a formula behind a semicolon', (part, told) => {
    expect(cellOf(csv([withPart(part)]), 'part')).toBe(told)
  })

  test('a number below zero is a number', () => {
    expect(cellOf(csv([bend(1, { springbackDeg: -0.25 })]), 'springbackDeg')).toBe('-0.25')
  })

  test('text that only holds a sign is left alone', () => {
    expect(cellOf(csv([withPart('Rail-1=A')]), 'part')).toBe('Rail-1=A')
  })

  test('a byte order mark only when asked for', () => {
    expect(csv([], true).charCodeAt(0)).toBe(0xfeff)
    expect(csv([]).startsWith('id,')).toBe(true)
  })
})

describe('JSON', () => {
  test.each([0, 1, 3])('%i bends are one array of them', (count) => {
    const bends = Array.from({ length: count }, (_, i) => bend(i + 1))
    expect(JSON.parse([...jsonOf(bends)].join(''))).toEqual(bends)
  })

  test('text comes back, with every escape', () => {
    const odd = withPart('"\\\n\u2028\u0000=1')
    expect(JSON.parse([...jsonOf([odd])].join(''))).toEqual([odd])
  })
})

test.each(['csv', 'json'])('%s is written as it is read, not all at once', (format) => {
  let read = 0
  const endless = (function* () {
    for (;;) {
      read += 1
      yield bend(read)
    }
  })()
  const lines = format === 'csv' ? csvOf(endless, false) : jsonOf(endless)
  for (let n = 0; n < 100; n += 1) lines.next()
  expect(read).toBeLessThanOrEqual(100)
})
