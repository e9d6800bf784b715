import canonicalize from 'canonicalize'
import { describe, expect, test } from 'vitest'
import { toCanonical } from '../../server/history/canonical.ts'
import { FIRST_HASH, nextHash } from '../../server/history/chain-hash.ts'

/**
 * The hash chain: SHA-256 over the digest before (32 raw bytes, the first all zero), then the record in
 * UTF-8. The three digests were computed apart from this project, with Python's hashlib.
 */
describe('hash chain, example computed independently', () => {
  test.each([
    [1, '398aa10eaa5fdc3c85c2db49b8f8a64ae2aa7390229d1fe2c6d2ddc1c1814a2e'],
    [2, 'ef96c6437dfe4c4be61407afe0c3595fc140b4b48a87c44e6330cd4bd83c11ef'],
    [3, '45dcf82d1bbdeddd4d9b979d31911c0d67a129b0335bd9c1ff43df27f436d5e3'],
  ])('after record %i', (count, expected) => {
    const records = [
      { who: 'op1', seq: 1, act: 'login' },
      { who: 'op1', seq: 2, act: 'zero' },
      { who: 'qa', seq: 3, act: 'sign' },
    ]
    const hash = records
      .slice(0, count)
      .reduce((before, record) => nextHash(before, toCanonical(record)), FIRST_HASH)
    expect(hash.toString('hex')).toBe(expected)
  })
})

/** SHA-256 of "abc", FIPS 180-4 example, quoted from memory; here with an empty "hash before". */
test('the hash is SHA-256', () => {
  expect(nextHash(Buffer.alloc(0), 'abc').toString('hex')).toBe(
    'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
  )
})

/** RFC 8785, quoted from memory: section 3.2.2 (numbers, strings, literals) and 3.2.3 (order of names). */
describe('RFC 8785 examples', () => {
  test('3.2.2: numbers and escapes', () => {
    const value = {
      numbers: JSON.parse('[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001]'),
      string: '\u20ac$\u000F\u000aA\'\u0042\u0022\u005c\\"/',
      literals: [null, true, false],
    }
    expect(canonicalize(value)).toBe(
      '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],' +
        '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}',
    )
  })

  test('3.2.3: names in the order of UTF-16 code units', () => {
    const value = {
      '\u20ac': 'Euro Sign',
      '\r': 'Carriage Return',
      '\ufb33': 'Hebrew Letter Dalet With Dagesh',
      '1': 'One',
      '\ud83d\ude00': 'Emoji: Grinning Face',
      '\u0080': 'Control',
      '\u00f6': 'Latin Small Letter O With Diaeresis',
    }
    const order = [
      'Carriage Return',
      'One',
      'Control',
      'Latin Small Letter O With Diaeresis',
      'Euro Sign',
      'Emoji: Grinning Face',
      'Hebrew Letter Dalet With Dagesh',
    ]
    const text = toCanonical(value)
    expect(order.map((name) => text.indexOf(name))).toEqual(
      order.map((name) => text.indexOf(name)).sort((a, b) => a - b),
    )
    expect(order.every((name) => text.includes(name))).toBe(true)
    expect(text.startsWith('{"\\r":"Carriage Return","1":"One"')).toBe(true)
  })

  /** Appendix B: a double's bits and the text it must have. */
  test.each([
    ['0000000000000000', '0'],
    ['8000000000000000', '0'],
    ['0000000000000001', '5e-324'],
    ['8000000000000001', '-5e-324'],
    ['7fefffffffffffff', '1.7976931348623157e+308'],
    ['ffefffffffffffff', '-1.7976931348623157e+308'],
    ['4340000000000000', '9007199254740992'],
    ['c340000000000000', '-9007199254740992'],
    ['4430000000000000', '295147905179352830000'],
    ['44b52d02c7e14af5', '9.999999999999997e+22'],
    ['44b52d02c7e14af6', '1e+23'],
    ['44b52d02c7e14af7', '1.0000000000000001e+23'],
    ['444b1ae4d6e2ef4e', '999999999999999700000'],
    ['444b1ae4d6e2ef4f', '999999999999999900000'],
    ['444b1ae4d6e2ef50', '1e+21'],
    ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
    ['3eb0c6f7a0b5ed8d', '0.000001'],
    ['41b3de4355555553', '333333333.3333332'],
    ['41b3de4355555554', '333333333.33333325'],
    ['41b3de4355555555', '333333333.3333333'],
    ['41b3de4355555556', '333333333.3333334'],
    ['41b3de4355555557', '333333333.33333343'],
    ['becbf647612f3696', '-0.0000033333333333333333'],
    ['43143ff3c1cb0959', '1424953923781206.2'],
  ])('appendix B: %s is %s', (bits, text) => {
    expect(canonicalize(Buffer.from(bits, 'hex').readDoubleBE())).toBe(text)
  })

  test.each([
    ['7fffffffffffffff', 'NaN'],
    ['7ff0000000000000', 'Infinity'],
  ])('appendix B: %s, %s, is refused', (bits) => {
    expect(() => canonicalize(Buffer.from(bits, 'hex').readDoubleBE())).toThrow()
  })
})
