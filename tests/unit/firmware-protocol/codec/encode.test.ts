import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import type { Sentence } from '../../../../firmware-protocol/codec/sentence.ts'
import { anySentence } from './arbitrary-sentences.ts'

const sample = {
  kind: 'sample',
  sequence: 1,
  tickUs: 2,
  counts: 3,
  flags: 0,
  second: null,
} as const

describe('encodeSentence', () => {
  it('writes nothing but what the frame allows, in 82 characters with CR LF (seed 12)', () => {
    fc.assert(
      fc.property(anySentence, (sentence) => {
        const line = encodeSentence(sentence)
        expect(line).toMatch(/^\$PXOB[A-Z](,[A-Za-z0-9 ._-]*)+,[0-9A-F]{4}\*[0-9A-F]{2}$/)
        expect(line.length + 2).toBeLessThanOrEqual(82)
      }),
      { seed: 12, numRuns: 2000 },
    )
  })

  it('fits the longest sentence of each kind', () => {
    const longest: Sentence[] = [
      {
        kind: 'hello',
        protocol: 99,
        firmware: 'x'.repeat(16),
        board: 'y'.repeat(16),
        sensor: 'accelerometer',
        countsPerTurn: 2147483647,
        rateHz: 1000,
      },
      { ...sample, sequence: 65535, tickUs: 4294967295, counts: -2147483648, flags: 255 },
      { kind: 'answer', command: 65535, ok: false, reason: 'z'.repeat(32) },
    ]
    for (const sentence of longest)
      expect(encodeSentence(sentence).length + 2).toBeLessThanOrEqual(82)
  })

  it.each<[Partial<Record<string, unknown>>, string]>([
    [{ sequence: 65536 }, 'sample.sequence takes integer 0 to 65535, got "65536".'],
    [{ sequence: -1 }, 'sample.sequence takes integer 0 to 65535, got "-1".'],
    [{ tickUs: 4294967296 }, 'sample.tickUs takes integer 0 to 4294967295, got "4294967296".'],
    [{ counts: 0.5 }, 'sample.counts takes integer -2147483648 to 2147483647, got "0.5".'],
    [{ counts: Number.NaN }, 'sample.counts takes integer -2147483648 to 2147483647, got "NaN".'],
    [{ flags: 256 }, 'sample.flags takes integer 0 to 255, got "256".'],
    [
      { second: Infinity },
      'sample.second takes integer -2147483648 to 2147483647, or empty, got "Infinity".',
    ],
  ])('throws for %j', (wrong, message) => {
    const sentence = { ...sample, ...wrong } as unknown as Sentence
    expect(() => encodeSentence(sentence)).toThrow(new RangeError(message))
  })

  it.each<[string, Sentence]>([
    ['a rate of nothing', { kind: 'set-rate', command: 1, rateHz: 0 }],
    [
      'no time to live',
      { kind: 'set-output', command: 1, output: 'lamp', on: true, timeToLiveMs: 0 },
    ],
    [
      'too long a time to live',
      { kind: 'set-output', command: 1, output: 'lamp', on: true, timeToLiveMs: 2001 },
    ],
    ['a command number too big', { kind: 'heartbeat', command: 65536 }],
    ['version 0', { kind: 'identify', command: 1, protocol: 0 }],
    ['a line break smuggled in', { kind: 'answer', command: 1, ok: false, reason: 'a\r\n$PXOBB' }],
    ['a comma smuggled in', { kind: 'answer', command: 1, ok: false, reason: 'a,b' }],
    ['a reason too long', { kind: 'answer', command: 1, ok: false, reason: 'x'.repeat(33) }],
    ['a refusal without a reason', { kind: 'answer', command: 1, ok: false, reason: '' }],
    ['a reason for no refusal', { kind: 'answer', command: 1, ok: true, reason: 'well' }],
    ['a kind of its own', { kind: 'shout' } as unknown as Sentence],
    [
      'an output of its own',
      { kind: 'set-output', command: 1, output: 'horn', on: true, timeToLiveMs: 5 } as never,
    ],
  ])('throws a RangeError for %s', (_, sentence) => {
    expect(() => encodeSentence(sentence)).toThrow(RangeError)
  })

  it('takes a sentence with more in it than the line has room for', () => {
    const wider = { ...sample, arrivalS: 17.25 }
    expect(encodeSentence(wider)).toBe(encodeSentence(sample))
  })

  it('does not care for the order of an object', () => {
    const turned = Object.fromEntries(Object.entries(sample).reverse()) as unknown as Sentence
    expect(encodeSentence(turned)).toBe(encodeSentence(sample))
  })
})
