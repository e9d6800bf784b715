import PDFDocument from 'pdfkit'
import { expect, onTestFinished, test, vi } from 'vitest'
import { linesOf } from '../../../../server/certificate/lines-of.ts'
import { makeCertificate } from '../../../../server/certificate/make-certificate.ts'
import { certificateOf, certified } from './certificates.ts'

/** How much is drawn and measured between two steps. */
function stepsOf(certificate: Parameters<typeof makeCertificate>[0]) {
  const done = { drawn: 0, measured: 0, ended: 0 }
  const proto = PDFDocument.prototype
  const { text, widthOfString, addPage } = proto
  const spies = [
    vi.spyOn(proto, 'text').mockImplementation(function (this: typeof proto, ...args: unknown[]) {
      done.drawn += String(args[0]).length
      return Reflect.apply(text, this, args)
    } as typeof text),
    vi.spyOn(proto, 'widthOfString').mockImplementation(function (
      this: typeof proto,
      ...args: unknown[]
    ) {
      done.measured += String(args[0]).length
      return Reflect.apply(widthOfString, this, args)
    } as typeof widthOfString),
    vi.spyOn(proto, 'addPage').mockImplementation(function (
      this: typeof proto,
      ...args: unknown[]
    ) {
      done.ended += 1
      return Reflect.apply(addPage, this, args)
    } as typeof addPage),
  ]
  onTestFinished(() => {
    for (const spy of spies) spy.mockRestore()
  })
  const steps: { drawn: number; measured: number; ended: number }[] = []
  const walk = makeCertificate(certificate)
  for (let step = walk.next(); !step.done; step = walk.next()) {
    steps.push({ ...done })
    Object.assign(done, { drawn: 0, measured: 0, ended: 0 })
  }
  steps.push(done)
  const most = (of: keyof typeof done) => Math.max(...steps.map((step) => step[of]))
  const all = (of: keyof typeof done) => steps.reduce((sum, step) => sum + step[of], 0)
  return { most, all }
}

test.each([
  ['one piece of 200 bends', Array.from({ length: 200 }, (_, n) => certified(n + 1)), ''],
  ['a note of many words', [certified(1)], 'the tube was scratched '.repeat(434)],
  ['a note without a space', [certified(1)], 'x'.repeat(10_000)],
  ['a note of nothing that is seen', [certified(1)], '\u200b'.repeat(10_000)],
  ['a note of lines', [certified(1)], 'seen\n'.repeat(2000)],
])('%s is drawn in steps, none of which does much', (_, bends, note) => {
  const at = '2026-02-01T10:00:00+01:00'
  const deeds = note === '' ? [] : [{ at, who: 'Q', what: note }]
  const certificate = certificateOf(bends.map((bend) => ({ ...bend, deeds })))
  const { most, all } = stepsOf(certificate)
  expect(all('drawn')).toBeGreaterThan(note.length / 2)
  // Four lines of narrow letters at most, or a title block.
  expect(most('drawn')).toBeLessThan(2000)
  expect(most('measured')).toBeLessThan(12_000)
  expect(most('ended')).toBeLessThanOrEqual(1)
})

test('a text without a space is measured a few times, not once a line for all that is left', () => {
  let measured = 0
  const text = 'x'.repeat(10_000)
  const lines = [
    ...linesOf(text, 100, (part) => {
      measured += part.length
      return part.length
    }),
  ]
  expect(lines.join('')).toBe(text)
  expect(Math.max(...lines.map(({ length }) => length))).toBeLessThanOrEqual(100)
  expect(measured).toBeLessThan(5 * text.length)
})

const inTens = (text: string) => [...linesOf(text, 10, (part) => part.length)]

test('lines are broken behind spaces and hyphens, and where the text is', () => {
  expect(inTens('one two three-four')).toEqual(['one two', 'three-four'])
  expect(inTens('one\ntwo\r\n\n\n\nthree')).toEqual(['one', 'two', '', 'three'])
  expect(inTens('')).toEqual([''])
  expect(inTens('a b   ')).toEqual(['a b'])
})

test('a letter keeps its accents, a word of wide letters is cut into these', () => {
  const accented = 'e\u0301'.repeat(8)
  expect(inTens(accented)).toEqual(['e\u0301'.repeat(5), 'e\u0301'.repeat(3)])
  expect([...linesOf('abc', 1, (part) => 5 * part.length)]).toEqual(['a', 'b', 'c'])
  expect(inTens(`a${'\u0301'.repeat(40)}`).join('')).toBe(`a${'\u0301'.repeat(40)}`)
})
