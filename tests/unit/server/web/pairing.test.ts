import { describe, expect, test } from 'vitest'
import { makePairing } from '../../../../server/web/pairing.ts'
import { SESSION_S } from '../../../../server/web/sessions.ts'
import { Refused } from '../../../../server/web/station-door.ts'
import { makeManualClock } from '../../../support/manual-clock.ts'

/** A code that is not the right one, six digits like it. */
const wrongFor = (code: string) => String((Number(code) + 1) % 1_000_000).padStart(6, '0')

function codeOf(work: () => unknown): string {
  try {
    work()
  } catch (error) {
    if (error instanceof Refused) return error.code
    throw error
  }
  return 'not refused'
}

function setUp() {
  const clock = makeManualClock()
  const pairing = makePairing(clock)
  const wrong = wrongFor(pairing.code)
  const tryWrong = () => codeOf(() => pairing.pair(wrong))
  return { clock, pairing, tryWrong }
}

describe('the code', () => {
  test('is six digits', () => {
    for (let i = 0; i < 200; i++) expect(setUp().pairing.code).toMatch(/^\d{6}$/)
  })

  test('differs from one start to the next', () => {
    const codes = new Set(Array.from({ length: 50 }, () => setUp().pairing.code))
    expect(codes.size).toBeGreaterThan(45)
  })

  test.each(['', ' ', '0', '000000000000', 'abcdef', '\u0000', '٠٠٠٠٠٠'])('is not %j', (tried) => {
    const { pairing } = setUp()
    expect(codeOf(() => pairing.pair(tried))).toBe('wrong-code')
  })

  test('is not taken with something before or after it', () => {
    const { pairing } = setUp()
    expect(codeOf(() => pairing.pair(` ${pairing.code}`))).toBe('wrong-code')
    expect(codeOf(() => pairing.pair(`${pairing.code}\n`))).toBe('wrong-code')
  })
})

describe('wrong tries', () => {
  test('four are answered, after the fifth even the right code has to wait', () => {
    const { pairing, tryWrong } = setUp()
    for (let i = 0; i < 5; i++) expect(tryWrong()).toBe('wrong-code')
    expect(tryWrong()).toBe('too-many-tries')
    expect(codeOf(() => pairing.pair(pairing.code))).toBe('too-many-tries')
  })

  test('the refusal says how long to wait', () => {
    const { pairing, tryWrong, clock } = setUp()
    for (let i = 0; i < 5; i++) tryWrong()
    clock.advance(20)
    expect(() => pairing.pair(pairing.code)).toThrow('try again in 100 s')
  })

  test('after the wait the right code pairs', () => {
    const { pairing, tryWrong, clock } = setUp()
    for (let i = 0; i < 5; i++) tryWrong()
    clock.advance(119)
    expect(tryWrong()).toBe('too-many-tries')
    clock.advance(1)
    expect(pairing.isSession(pairing.pair(pairing.code))).toBe(true)
  })

  test('spread over more than two minutes do not add up', () => {
    const { tryWrong, clock } = setUp()
    for (let i = 0; i < 50; i++) {
      expect(tryWrong()).toBe('wrong-code')
      clock.advance(31)
    }
  })

  test('each wait is twice the one before, up to an hour', () => {
    const { tryWrong, clock } = setUp()
    const waits: number[] = []
    for (let round = 0; round < 8; round++) {
      for (let i = 0; i < 5; i++) expect(tryWrong()).toBe('wrong-code')
      const startS = clock.nowS()
      while (tryWrong() === 'too-many-tries') clock.advance(1)
      waits.push(clock.nowS() - startS)
      clock.advance(121)
    }
    expect(waits).toEqual([120, 240, 480, 960, 1920, 3600, 3600, 3600])
  })

  test('a guesser gets no more than about 150 tries a day', () => {
    const { tryWrong, clock } = setUp()
    let tries = 0
    while (clock.nowS() < 24 * 3600) {
      if (tryWrong() === 'wrong-code') tries++
      else clock.advance(5)
    }
    expect(tries).toBeGreaterThan(5)
    expect(tries).toBeLessThan(160)
  })

  test('a right code makes the next wait short again', () => {
    const { pairing, tryWrong, clock } = setUp()
    for (let round = 0; round < 3; round++) {
      for (let i = 0; i < 5; i++) tryWrong()
      clock.advance(3600)
    }
    pairing.pair(pairing.code)
    for (let i = 0; i < 5; i++) tryWrong()
    expect(() => pairing.pair(pairing.code)).toThrow('try again in 120 s')
  })
})

describe('a session', () => {
  test('is known by its token and by no other', () => {
    const { pairing } = setUp()
    const token = pairing.pair(pairing.code)
    expect(pairing.isSession(token)).toBe(true)
    expect(pairing.isSession(`${token}x`)).toBe(false)
    expect(pairing.isSession(token.slice(1))).toBe(false)
    expect(pairing.isSession('')).toBe(false)
    expect(pairing.isSession(pairing.code)).toBe(false)
  })

  test('has a token of 256 bits, another each time', () => {
    const { pairing } = setUp()
    const tokens = Array.from({ length: 20 }, () => pairing.pair(pairing.code))
    expect(new Set(tokens).size).toBe(20)
    for (const token of tokens) expect(Buffer.from(token, 'base64url')).toHaveLength(32)
  })

  test('ends after a working day', () => {
    const { pairing, clock } = setUp()
    const token = pairing.pair(pairing.code)
    clock.advance(SESSION_S - 1)
    expect(pairing.isSession(token)).toBe(true)
    clock.advance(1)
    expect(pairing.isSession(token)).toBe(false)
  })

  test('of another daemon is none here', () => {
    const token = (({ pairing }) => pairing.pair(pairing.code))(setUp())
    expect(setUp().pairing.isSession(token)).toBe(false)
  })

  test('makes room when 64 others are open: the oldest goes', () => {
    const { pairing } = setUp()
    const tokens = Array.from({ length: 65 }, () => pairing.pair(pairing.code))
    expect(tokens.map((token) => pairing.isSession(token))).toEqual([
      false,
      ...Array.from({ length: 64 }, () => true),
    ])
  })
})
