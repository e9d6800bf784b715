import { describe, expect, it } from 'vitest'
import {
  closeFrame,
  fieldsEnd,
  MAX_LINE_CHARS,
  refuseFrame,
  refuseNmea,
} from '../../../../firmware-protocol/codec/frame.ts'

/** A well-known sentence of a navigation receiver, whole. */
const FOREIGN = '$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47'
const OURS = '$PXOBS,184,12034567,-1234,0,,E5BB*02'

/** A line whose XOR is right, whatever is in it. */
function withXor(body: string): string {
  let xor = 0
  for (let at = 0; at < body.length; at++) xor ^= body.charCodeAt(at)
  return `$${body}*${xor.toString(16).toUpperCase().padStart(2, '0')}`
}

describe('refuseNmea', () => {
  it('takes a whole frame of any maker', () => {
    expect(refuseNmea(FOREIGN, 80)).toBeNull()
    expect(refuseNmea(OURS, 80)).toBeNull()
  })

  it('takes the hexadecimal digits in lower case', () => {
    expect(
      refuseNmea(withXor('GPXDR,J').toLowerCase().replace('gpxdr,j', 'GPXDR,J'), 80),
    ).toBeNull()
    expect(refuseNmea('$HCXDR,A,171,D,PITCH*6f'.replace('6f', 'ff'), 80)).toBe('bad checksum')
  })

  it.each([
    ['', 'empty'],
    ['$', 'no checksum'],
    ['*', 'no start'],
    ['$*', 'no checksum'],
    ['$*0', 'no checksum'],
    ['$*0G', 'bad checksum'],
    ['$A*4', 'no checksum'],
    ['$A*410', 'no checksum'],
    ['$A* 41', 'no checksum'],
    ['$A*4 ', 'bad checksum'],
    ['$A*+1', 'bad checksum'],
    ['A*41', 'no start'],
    ['!A*41', 'no start'],
    [' $A*41', 'no start'],
    ['$A*41 ', 'no checksum'],
    ['$A*41\r', 'not printable'],
    ['$A\0*41', 'not printable'],
    ['$A\u007f*41', 'not printable'],
    ['$A\u00b0*41', 'not printable'],
    ['$A\u0141*41', 'not printable'],
  ])('refuses %j: %s', (line, reason) => {
    expect(refuseNmea(line, 80)).toBe(reason)
  })

  it('takes the empty body, whose XOR is 00: the address is for others to judge', () => {
    expect(refuseNmea('$*00', 80)).toBeNull()
  })

  it('refuses one character above the bound, not one below it', () => {
    const body = `GPXDR,${'1'.repeat(70)}`
    expect(withXor(body)).toHaveLength(80)
    expect(refuseNmea(withXor(body), 80)).toBeNull()
    expect(refuseNmea(withXor(`${body}1`), 80)).toBe('overlong')
  })
})

describe('refuseFrame', () => {
  it('takes a whole line of ours, sums in either case', () => {
    expect(refuseFrame(OURS)).toBeNull()
    expect(refuseFrame(OURS.replace('E5BB', 'e5bb'))).toBe('bad checksum')
    expect(refuseFrame(withXor('PXOBS,184,12034567,-1234,0,,e5bb'))).toBeNull()
    expect(refuseFrame(withXor('PXOBS,184,12034567,-1234,0,,e5Bb'))).toBeNull()
  })

  it.each([
    [FOREIGN, 'unknown sentence'],
    [withXor('PXOA,1'), 'unknown sentence'],
    [withXor('pxobB,21,4C4E'), 'unknown sentence'],
    [withXor('PXOB'), 'bad crc'],
    [withXor('PXOBB'), 'bad crc'],
    [withXor('PXOB,4C4E'), 'bad crc'],
    [withXor('PXOBB,21'), 'bad crc'],
    [withXor('PXOBB,21,4C4'), 'bad crc'],
    [withXor('PXOBB,21,04C4E'), 'bad crc'],
    [withXor('PXOBB,21,4C4G'), 'bad crc'],
    [withXor('PXOBB,21,4C4 '), 'bad crc'],
    [withXor('PXOBB,21,4C4F'), 'bad crc'],
    [withXor('PXOBB,12,4C4E'), 'bad crc'],
    [withXor('PXOBB,21;4C4E'), 'bad crc'],
  ])('refuses %s: %s', (line, reason) => {
    expect(refuseFrame(line)).toBe(reason)
  })
})

describe('closeFrame', () => {
  it('writes what refuseFrame takes, sums in upper case', () => {
    expect(closeFrame('S', ['184', '12034567', '-1234', '0', ''])).toBe(OURS)
    expect(OURS.slice(0, fieldsEnd(OURS))).toBe('$PXOBS,184,12034567,-1234,0,')
  })

  it('pads its sums with zeros', () => {
    const lines = Array.from({ length: 5000 }, (_, command) => closeFrame('B', [String(command)]))
    expect(lines.every((line) => /,[0-9A-F]{4}\*[0-9A-F]{2}$/.test(line))).toBe(true)
    expect(lines.some((line) => /,0[0-9A-F]{3}\*/.test(line))).toBe(true)
    expect(lines.some((line) => /\*0[0-9A-F]$/.test(line))).toBe(true)
  })

  it('refuses a line above 82 characters with its ending, and no shorter one', () => {
    const longest = MAX_LINE_CHARS - '$PXOBA,,CCCC*hh'.length
    const line = closeFrame('A', ['x'.repeat(longest)])
    expect(line).toHaveLength(MAX_LINE_CHARS)
    expect(refuseFrame(line)).toBeNull()
    expect(() => closeFrame('A', ['x'.repeat(longest + 1)])).toThrow(
      new RangeError('A line takes at most 80 characters, got 81.'),
    )
  })
})
