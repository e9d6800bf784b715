import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { decodeXdr } from '../../../../firmware-protocol/codec/xdr.ts'
import { ALL_BYTES, damagedOnce } from './damage.ts'

function withXor(body: string): string {
  let xor = 0
  for (let at = 0; at < body.length; at++) xor ^= body.charCodeAt(at)
  return `$${body}*${xor.toString(16).toUpperCase().padStart(2, '0')}`
}

describe('decodeXdr', () => {
  it('reads groups of four fields, of any talker', () => {
    expect(decodeXdr(withXor('YXXDR,A,47.25,D,ANGLE,S,1,,FOOT'))).toEqual({
      ok: true,
      talker: 'YX',
      transducers: [
        { type: 'A', value: 47.25, unit: 'D', name: 'ANGLE' },
        { type: 'S', value: 1, unit: '', name: 'FOOT' },
      ],
    })
  })

  it('gives null for a value that was left empty, and 0 for 0', () => {
    const decoded = decodeXdr(withXor('YXXDR,A,,D,ANGLE,A,0,D,OTHER'))
    expect(decoded.ok && decoded.transducers.map(({ value }) => value)).toEqual([null, 0])
  })

  it('takes the checksum in lower case', () => {
    expect(decodeXdr('$IIXDR,A,12.34,D,BEND*6c').ok).toBe(true)
  })

  it('takes a sentence beyond 82 characters, up to 256', () => {
    const group = ',A,1,D,X'
    const body = `II${'XDR'}${group.repeat(30)}`
    const decoded = decodeXdr(withXor(body))
    expect(decoded.ok && decoded.transducers).toHaveLength(30)
    expect(decodeXdr(withXor(`${body}${group}`))).toEqual({ ok: false, reason: 'overlong' })
  })

  it.each([
    ['PXDR,P,96276.0,P,0', 'unknown sentence'],
    ['PXXDR,A,1,D,X', 'unknown sentence'],
    ['IIHDG,A,1,D,X', 'unknown sentence'],
    ['iixdr,A,1,D,X', 'unknown sentence'],
    ['IIIXDR,A,1,D,X', 'unknown sentence'],
    ['IIXDRX,A,1,D,X', 'unknown sentence'],
    ['', 'unknown sentence'],
    ['IIXDR', 'wrong field count'],
    ['IIXDR,', 'wrong field count'],
    ['IIXDR,A,1,D', 'wrong field count'],
    ['IIXDR,A,1,D,X,', 'wrong field count'],
    ['IIXDR,A,1,D,X,A,1,D', 'wrong field count'],
    ['IIXDR,,1,D,X', 'bad field'],
    ['IIXDR,AA,1,D,X', 'bad field'],
    ['IIXDR,a,1,D,X', 'bad field'],
    ['IIXDR,A,one,D,X', 'bad field'],
    ['IIXDR,A, 1,D,X', 'bad field'],
    ['IIXDR,A,0x1,D,X', 'bad field'],
    ['IIXDR,A,1,D,X,A,NaN,D,Y', 'bad field'],
  ])('refuses %s: %s', (body, reason) => {
    expect(decodeXdr(withXor(body))).toEqual({ ok: false, reason })
  })

  it.each([
    ['', 'empty'],
    ['$IIXDR,A,12.34,D,BEND', 'no checksum'],
    ['$IIXDR,A,12.34,D,BEND*6D', 'bad checksum'],
    ['IIXDR,A,12.34,D,BEND*6C', 'no start'],
    ['$IIXDR,A,12.34,D,B\u00c9ND*6C', 'not printable'],
  ])('refuses the line %j: %s', (line, reason) => {
    expect(decodeXdr(line)).toEqual({ ok: false, reason })
  })

  it('gives no other reading after any one slip: every place, every byte', () => {
    const line = '$YXXDR,A,-0.7,D,PTCH,A,0.9,D,ROLL*7E'
    const whole = decodeXdr(line)
    let tried = 0
    for (const damaged of damagedOnce(line, ALL_BYTES)) {
      const decoded = decodeXdr(damaged)
      if (decoded.ok) expect(decoded).toEqual(whole)
      tried++
    }
    expect(tried).toBeGreaterThan(15_000)
  })

  it('never throws (seed 21)', () => {
    const fields = fc.array(fc.string({ unit: 'binary-ascii', maxLength: 5 }), { maxLength: 16 })
    fc.assert(
      fc.property(fields, (values) => {
        const decoded = decodeXdr(withXor(`IIXDR,${values.join(',')}`))
        if (decoded.ok)
          for (const { value } of decoded.transducers)
            expect(value === null || Number.isFinite(value)).toBe(true)
      }),
      { seed: 21, numRuns: 5000 },
    )
  })
})
