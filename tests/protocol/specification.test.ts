import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { crc16Ccitt } from '../../firmware-protocol/codec/crc16.ts'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import { FORM_LIST } from '../../firmware-protocol/codec/forms.ts'
import { MAX_LINE_CHARS } from '../../firmware-protocol/codec/frame.ts'
import { MAX_LINE_BYTES } from '../../firmware-protocol/codec/line-splitter.ts'
import type { RefusalReason } from '../../firmware-protocol/codec/sentence.ts'
import { makeCountingHost } from './counting-host.ts'

const PATH = join(import.meta.dirname, '../../firmware-protocol/SPECIFICATION.md')
const text = readFileSync(PATH, 'utf8')
const rows = text.split('\n')

/** Everything in the document that looks like a line of the protocol, wherever it stands. */
const dollarRows = rows
  .map((row, index) => ({ row, at: index + 1 }))
  .filter(({ row }) => /\$[A-Z]/.test(row))
const isRefused = ({ row }: { row: string }) => row.startsWith('<! ')
const examples = dollarRows
  .filter((entry) => !isRefused(entry))
  .map(({ row, at }) => ({ line: row.replace(/^[<>] /, ''), row, at }))
const refusedExamples = rows
  .map((row, index) => ({ parts: /^<! ([a-z ]+): (.+)$/.exec(row), at: index + 1 }))
  .flatMap(({ parts, at }) => (parts ? [{ reason: parts[1], line: parts[2] ?? '', at }] : []))

/** The rows of the first table below a heading, as cells. */
function tableBelow(heading: string): string[][] {
  const start = rows.indexOf(heading)
  const body = rows.slice(start + 1)
  const first = body.findIndex((row) => row.startsWith('|'))
  const length = body.slice(first).findIndex((row) => !row.startsWith('|'))
  return body.slice(first + 2, first + length).map((row) =>
    row
      .slice(1, -1)
      .split('|')
      .map((cell) => cell.trim()),
  )
}

describe('every example line of the specification', () => {
  it.each(examples)('decodes and re-encodes to itself, line $at', ({ line }) => {
    const decoded = decodeLine(line)
    if (!decoded.ok) throw new Error(`${decoded.reason}: ${line}`)
    expect(encodeSentence(decoded.sentence)).toBe(line)
  })

  it.each(refusedExamples)('is refused because of $reason, line $at', ({ line, reason }) => {
    expect(decodeLine(line)).toEqual({ ok: false, reason })
  })

  it('is looked at: there are some of every kind of sentence', () => {
    const letters = new Set(examples.map(({ line }) => line.charAt(5)))
    expect([...letters].sort()).toEqual(FORM_LIST.map(({ letter }) => letter).sort())
    expect(examples.length + dollarRows.filter(isRefused).length).toBe(dollarRows.length)
  })
})

describe('the example session', () => {
  const begin = rows.indexOf('## An example session')
  const session = rows.slice(begin, rows.indexOf('## Goal'))

  it('comes first', () => {
    expect(rows.findIndex((row) => row.startsWith('## '))).toBe(begin)
  })

  it('leaves a host with one start and nothing missing', () => {
    const host = makeCountingHost()
    for (const row of session.filter((row) => /^[<>] /.test(row)))
      if (row.startsWith('>')) host.sent(row.slice(2))
      else host.received(row.slice(2))
    expect(host.tally()).toEqual({ starts: 1, missing: 0, duplicates: 0, refused: 0 })
  })
})

describe('the tables of the specification', () => {
  const headings = rows.filter((row) => /^### [A-Z], /.test(row))

  it('are one for each sentence of the codec', () => {
    const letters = headings.map((heading) => heading.charAt(4))
    expect(letters.sort()).toEqual(FORM_LIST.map(({ letter }) => letter).sort())
  })

  it.each(FORM_LIST)('list the fields of $kind with their limits, in order', (form) => {
    const heading = headings.find((row) => row.startsWith(`### ${form.letter}, `)) ?? ''
    const told = tableBelow(heading).map(([name, grammar]) => [name, grammar])
    expect(told).toEqual(form.fields.map(([name, field]) => [name, field.grammar]))
  })

  it('list every reason for refusing a line, in the order of the decoder', () => {
    // Each line has its own fault and that of the row below it, which the decoder must not come to.
    const twoFaults: Record<RefusalReason, string> = {
      empty: '',
      overlong: `\u0007${'x'.repeat(MAX_LINE_CHARS)}`,
      'not printable': 'x\u0007',
      'no start': 'x,1,4C4E',
      'no checksum': '$GPXDR*0',
      'bad checksum': '$GPXDR,1*00',
      'unknown sentence': '$GPXDR*59',
      'bad crc': '$PXOBS,1,0000*67',
      'wrong field count': '$PXOBS,01,473F*21',
      'bad field': '$PXOBB,01,2A2C*44',
    }
    for (const [reason, line] of Object.entries(twoFaults))
      expect(decodeLine(line), line).toEqual({ ok: false, reason })
    const told = tableBelow('## Refused lines').map(([reason]) => reason)
    expect(told).toEqual(Object.keys(twoFaults))
  })
})

describe('numbers in the text of the specification', () => {
  it('are those of the codec', () => {
    expect(text).toContain(`MUST NOT be longer than ${MAX_LINE_CHARS + 2} characters`)
    expect(text).toContain(`splitter holds ${MAX_LINE_BYTES} bytes`)
    const check = crc16Ccitt('123456789').toString(16).toUpperCase()
    expect(text).toContain(`\`123456789\` gives ${check}`)
    expect(text).toContain(`${((2 ** 32 - 1) / 60e6).toFixed(2)} minutes`)
  })
})
