import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { decodeLine } from '../../../../firmware-protocol/codec/decode.ts'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import { closeFrame } from '../../../../firmware-protocol/codec/frame.ts'
import { decodeSampleInto, type SampleTarget } from '../../../../firmware-protocol/codec/sample.ts'
import { anySentence, sample } from './arbitrary-sentences.ts'
import { ALL_BYTES, anyUnits, damagedOnce, transposed } from './damage.ts'

const UNTOUCHED: SampleTarget = { sequence: -7, tickUs: -7, counts: -7, flags: -7, second: -7 }

/** What the fast way makes of a line, or how it differs from the plain way. */
function judge(line: string): 'taken' | 'left' | string {
  const target = { ...UNTOUCHED }
  const taken = decodeSampleInto(line, target)
  const decoded = decodeLine(line)
  const sentence = decoded.ok && decoded.sentence.kind === 'sample' ? decoded.sentence : null
  const expected = JSON.stringify(sentence ?? UNTOUCHED)
  const got = JSON.stringify(taken ? { kind: 'sample', ...target } : target)
  if (got !== expected) return `${line} gives ${got}, and ${expected} by decodeLine`
  return taken ? 'taken' : 'left'
}

/** How often each judgement falls: any but `taken` and `left` is a difference. */
function judgements(lines: Iterable<string>): Record<string, number> {
  const counts: Record<string, number> = {}
  for (const line of lines) {
    const judgement = judge(line)
    counts[judgement] = (counts[judgement] ?? 0) + 1
  }
  return counts
}

describe('decodeSampleInto', () => {
  it('fills the target with what decodeLine reads (2000 samples, seed 13)', () => {
    const lines = fc.sample(sample, { seed: 13, numRuns: 2000 }).map(encodeSentence)
    expect(judgements(lines)).toEqual({ taken: 2000 })
  })

  it('fills the same target again, with a second channel and without', () => {
    const target = { ...UNTOUCHED }
    const wide = { sequence: 1, tickUs: 4294967295, counts: -2147483648, flags: 255, second: 0 }
    const narrow = { sequence: 0, tickUs: 0, counts: 0, flags: 0, second: null }
    for (const values of [wide, narrow, wide]) {
      expect(decodeSampleInto(encodeSentence({ kind: 'sample', ...values }), target)).toBe(true)
      expect(target).toEqual(values)
    }
  })

  it('leaves all other sentences to decodeLine, the target untouched (seed 14)', () => {
    const lines = fc
      .sample(anySentence, { seed: 14, numRuns: 1000 })
      .filter(({ kind }) => kind !== 'sample')
      .map(encodeSentence)
    expect(lines.length).toBeGreaterThan(800)
    expect(judgements(lines)).toEqual({ left: lines.length })
  })

  it('says the same as decodeLine after any one slip: every place, every byte (seed 15)', () => {
    for (const sentence of fc.sample(sample, { seed: 15, numRuns: 4 })) {
      const {
        taken = 0,
        left = 0,
        ...differences
      } = judgements(damagedOnce(encodeSentence(sentence), ALL_BYTES))
      expect(differences).toEqual({})
      expect(left).toBeGreaterThan(15_000)
      // No more than a checksum digit or two in lower case.
      expect(taken).toBeLessThanOrEqual(2)
    }
  })

  it('refuses a sample in which any two characters have changed places (seed 16)', () => {
    const swapped = fc
      .sample(sample, { seed: 16, numRuns: 20 })
      .flatMap((sentence) => [...transposed(encodeSentence(sentence))])
    expect(swapped.length).toBeGreaterThan(8000)
    expect(judgements(swapped)).toEqual({ left: swapped.length })
  })

  it('says the same as decodeLine of any fields in a whole frame (seed 17)', () => {
    const field = fc.oneof(
      { weight: 1, arbitrary: fc.string({ unit: fc.constantFrom(...'-0123. '), maxLength: 11 }) },
      { weight: 4, arbitrary: fc.integer({ min: -100, max: 70_000 }).map(String) },
    )
    const fields = fc.oneof(
      fc.array(field, { minLength: 1, maxLength: 6 }),
      fc.array(field, { minLength: 5, maxLength: 5 }),
    )
    const lines = fc
      .sample(fields, { seed: 17, numRuns: 5000 })
      .filter((values) => values.join(',').length <= 60)
      .map((values) => closeFrame('S', values))
    const { taken = 0, left = 0, ...differences } = judgements(lines)
    expect(differences).toEqual({})
    expect(taken).toBeGreaterThan(20)
    expect(left).toBeGreaterThan(1000)
  })

  it('never throws, whatever it is given (seed 18)', () => {
    const noise = fc.string({ unit: fc.constantFrom(...ALL_BYTES), maxLength: 100 })
    const lines = [
      ...fc.sample(noise, { seed: 18, numRuns: 500 }),
      ...fc.sample(noise, { seed: 18, numRuns: 500 }).map((line) => `$PXOBS${line}`),
      ...fc.sample(anyUnits, { seed: 18, numRuns: 200 }),
      ...['', '$PXOBS', '$PXOBS,', '$PXOBS,,,,,', '$PXOBS*56', '$PXOBS,,,,,*7A'],
    ]
    expect(judgements(lines)).toEqual({ left: lines.length })
  })
})
