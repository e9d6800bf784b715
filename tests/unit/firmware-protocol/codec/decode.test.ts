import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { decodeLine } from '../../../../firmware-protocol/codec/decode.ts'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import { closeFrame } from '../../../../firmware-protocol/codec/frame.ts'
import type { Sentence } from '../../../../firmware-protocol/codec/sentence.ts'
import { anySentence, sample, sentences } from './arbitrary-sentences.ts'
import { ALL_BYTES, anyUnits, damagedOnce, transposed } from './damage.ts'

/** Lines with a good frame, so that what is inside is judged. */
const framed = (letter: string, fields: string) => closeFrame(letter, fields.split(','))

const isSameLine = (line: string, damaged: string) =>
  damaged.slice(0, -2) === line.slice(0, -2) && damaged.toUpperCase() === line.toUpperCase()

describe.each(Object.entries(sentences))('%s', (kind, arbitrary: fc.Arbitrary<Sentence>) => {
  it('comes back from its line as it was (300 sentences, seed 5)', () => {
    fc.assert(
      fc.property(arbitrary, (sentence) => {
        expect(decodeLine(encodeSentence(sentence))).toStrictEqual({ ok: true, sentence })
      }),
      { seed: 5, numRuns: 300 },
    )
  })

  it('is refused with one field less or more', () => {
    const [sentence] = fc.sample(arbitrary, { seed: 6, numRuns: 1 })
    const line = encodeSentence(sentence!)
    const fields = line.slice(7, -8).split(',')
    const letter = line.charAt(5)
    expect(decodeLine(closeFrame(letter, fields)).ok, kind).toBe(true)
    for (const other of [fields.slice(1), [...fields, ''], [...fields, '0']])
      expect(decodeLine(closeFrame(letter, other.length > 0 ? other : ['0', '0']))).toEqual({
        ok: false,
        reason: 'wrong field count',
      })
  })
})

describe('a whole line with a field that does not fit', () => {
  it.each([
    ['H', '0,1.0,B,INC,4096,200'],
    ['H', '1,,B,INC,4096,200'],
    ['H', '1,1.0,,INC,4096,200'],
    ['H', '1,1.0,B,inc,4096,200'],
    ['H', '1,1.0,B,INC,0,200'],
    ['H', '1,1.0,B,INC,2147483648,200'],
    ['H', '1,1.0,B,INC,4096,0'],
    ['H', '1,1.0,B,INC,4096,1001'],
    ['H', '1,12345678901234567,B,INC,4096,200'],
    ['S', '65536,0,0,0,'],
    ['S', '-1,0,0,0,'],
    ['S', '0,4294967296,0,0,'],
    ['S', '0,0,2147483648,0,'],
    ['S', '0,0,-2147483649,0,'],
    ['S', '0,0,,0,'],
    ['S', '0,0,0,256,'],
    ['S', '0,0,0,0, '],
    ['S', '0,0,12.34,0,'],
    ['X', '0,0,32768,0,0,0'],
    ['T', '0,0,65536,0,0'],
    ['E', '0,0,0,DOWN,0'],
    ['E', '0,0,10,DOWN,0'],
    ['E', '0,0,1,LEFT,0'],
    ['A', '1,YES,'],
    ['A', '1,OK,because'],
    ['A', '1,NO,'],
    ['A', '1,NO,no!'],
    ['A', `1,NO,${'x'.repeat(33)}`],
    ['I', '1,0'],
    ['I', '1,100'],
    ['F', '1,0'],
    ['F', '1,1001'],
    ['O', '1,HORN,ON,500'],
    ['O', '1,LAMP,ON,0'],
    ['O', '1,LAMP,ON,2001'],
    ['O', '1,LAMP,ON,'],
    ['O', '1,LAMP,1,500'],
    ['B', ''],
    ['Q', '65536'],
  ])('is refused: %s %s', (letter, fields) => {
    expect(decodeLine(framed(letter, fields))).toEqual({ ok: false, reason: 'bad field' })
  })

  it('is refused with a dollar or a star inside', () => {
    expect(decodeLine(framed('A', '1,NO,a$b'))).toEqual({ ok: false, reason: 'bad field' })
    expect(decodeLine(framed('A', '1,NO,a*b'))).toEqual({ ok: false, reason: 'bad field' })
  })
})

describe('a whole line of an unknown letter', () => {
  const known = 'HSXTEARIFOBQ'

  it.each([...'ABCDEFGHIJKLMNOPQRSTUVWXYZ'].filter((letter) => !known.includes(letter)))(
    'is unknown, not damaged: %s',
    (letter) => {
      expect(decodeLine(framed(letter, '1'))).toEqual({ ok: false, reason: 'unknown sentence' })
    },
  )

  it.each([...known])('is unknown in lower case or with more behind: %s', (letter) => {
    for (const other of [letter.toLowerCase(), `${letter}S`, `${letter} `])
      expect(decodeLine(framed(other, '1'))).toEqual({ ok: false, reason: 'unknown sentence' })
  })
})

describe('a damaged line', () => {
  it('never yields another sentence after any one slip: every place, every byte (seed 7)', () => {
    const wrong: string[] = []
    let tried = 0
    for (const sentence of fc.sample(anySentence, { seed: 7, numRuns: 12 })) {
      const line = encodeSentence(sentence)
      const taken = [...damagedOnce(line, ALL_BYTES)].filter((damaged) => {
        tried++
        return decodeLine(damaged).ok
      })
      // A digit of the XOR in lower case is the same line still; the CRC's digits lie under the XOR.
      wrong.push(...taken.filter((damaged) => !isSameLine(line, damaged)))
    }
    expect(wrong).toEqual([])
    expect(tried).toBeGreaterThan(100_000)
  })

  it('never yields another sample when any two characters change places (seed 8)', () => {
    const swapped = fc
      .sample(sample, { seed: 8, numRuns: 50 })
      .flatMap((sentence) => [...transposed(encodeSentence(sentence))])
    expect(swapped.length).toBeGreaterThan(20_000)
    expect(swapped.filter((line) => decodeLine(line).ok)).toEqual([])
  })

  it('never yields a sentence when two lines are torn and joined (seed 9)', () => {
    fc.assert(
      fc.property(sample, sample, fc.nat(), fc.nat(), (one, two, endAt, startAt) => {
        const first = encodeSentence(one)
        const second = encodeSentence(two)
        const joined = first.slice(0, endAt % first.length) + second.slice(startAt % second.length)
        fc.pre(joined !== second)
        const decoded = decodeLine(joined)
        if (decoded.ok) expect([one, two]).toContainEqual(decoded.sentence)
      }),
      { seed: 9, numRuns: 2000 },
    )
  })
})

describe('any string at all', () => {
  const noise = (maxLength: number) => fc.string({ unit: fc.constantFrom(...ALL_BYTES), maxLength })

  it('is decoded without throwing (4000 strings of bytes, seed 10)', () => {
    fc.assert(
      fc.property(noise(120), (line) => {
        expect(decodeLine(line).ok).toBe(false)
      }),
      { seed: 10, numRuns: 2000 },
    )
    fc.assert(
      fc.property(anySentence, noise(6), fc.nat(), (sentence, more, at) => {
        const line = encodeSentence(sentence)
        const place = at % line.length
        const decoded = decodeLine(line.slice(0, place) + more + line.slice(place))
        expect(decoded.ok).toBe(more === '')
      }),
      { seed: 10, numRuns: 2000 },
    )
  })

  it('is decoded without throwing when it is no text of bytes (seed 24)', () => {
    fc.assert(
      fc.property(anyUnits, (line) => {
        expect(decodeLine(line).ok).toBe(false)
      }),
      { seed: 24 },
    )
  })

  it('gives a sentence only if the encoder writes the same line, sums in upper case (seed 11)', () => {
    const alphabet = fc.constantFrom(...'0123456789-, OKNABC')
    const inside = fc.tuple(
      fc.constantFrom(...'HSXTEARIFOBQ'),
      fc.string({ unit: alphabet, maxLength: 30 }),
    )
    let sentencesSeen = 0
    fc.assert(
      fc.property(inside, ([letter, fields]) => {
        const line = framed(letter, fields)
        const decoded = decodeLine(line)
        if (!decoded.ok) return
        sentencesSeen++
        expect(encodeSentence(decoded.sentence)).toBe(line)
      }),
      { seed: 11, numRuns: 10_000 },
    )
    expect(sentencesSeen).toBeGreaterThan(20)
  })

  it('is refused when it is megabytes long, without reading it all', () => {
    expect(decodeLine('$'.repeat(5_000_000))).toEqual({ ok: false, reason: 'overlong' })
  })
})
