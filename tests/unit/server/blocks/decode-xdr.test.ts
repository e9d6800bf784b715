import { describe, expect, test } from 'vitest'
import { decodeXdr } from '../../../../server/blocks/decode-xdr.ts'
import { BAD, GOOD, NONE } from '../../../../server/chain/column.ts'
import { xdrLine } from '../../../support/dialect-lines.ts'
import { oneBlock } from './one-block.ts'
import { fromDevice, fromHost } from './wire.ts'

const read = (text: string, parameters: Record<string, unknown> = {}) =>
  oneBlock(decodeXdr, parameters).feed([{ line: fromDevice(text) }])[0]!
const reason = (text: string, parameters: Record<string, unknown> = {}) =>
  (read(text, parameters).all['trouble'] as { reason: string } | null)?.reason

const TWO = xdrLine('A,1.5,D,PTCH', 'A,47.25,D,BEND')

describe('the angle', () => {
  test('is the first transducer of its type, or the one of the name', () => {
    expect(read(TWO)).toMatchObject({ value: 1.5, quality: GOOD })
    expect(read(TWO, { name: 'BEND' }).value).toBe(47.25)
  })
  test('may be of another type: a generic one in counts', () => {
    const text = xdrLine('A,1.5,D,PTCH', 'G,4711,,ENC')
    expect(read(text, { type: 'G', unit: '', name: 'ENC' }).value).toBe(4711)
  })
  test('that is null is no valid reading: bad, and no trouble', () => {
    expect(read(xdrLine('A,,D,BEND'))).toMatchObject({ value: 0, quality: BAD })
    expect(reason(xdrLine('A,,D,BEND'))).toBeUndefined()
  })
  test('in another unit is refused, never taken for degrees', () => {
    expect(reason(xdrLine('A,50,P,BEND'))).toBe('bad field')
    expect(read(xdrLine('A,50,P,BEND'), { unit: 'P' }).value).toBe(50)
    expect(read(xdrLine('A,50,P,BEND'), { unit: '' }).value).toBe(50)
  })
  test('larger than any sensor gives is refused', () => {
    expect(reason(xdrLine('A,1e13,D,BEND'))).toBe('bad field')
  })
})

describe('a line without the angle', () => {
  test.each([
    ['another transducer', xdrLine('C,21,C,AIR'), 'unknown sentence'],
    ['another name', TWO, 'unknown sentence'],
    ['another sentence', '$GPGGA,123519*41', 'bad checksum'],
    ['a whole other sentence', '$GPGGA*56', 'unknown sentence'],
    ['a wrong checksum', `${TWO.slice(0, -2)}00`, 'bad checksum'],
    ['no checksum', '$YXXDR,A,1,D,BEND', 'no checksum'],
    ['garbage', 'ÿþ', 'not printable'],
  ])('%s: no reading, %s', (_, text, why) => {
    expect(read(text, { name: 'NONE' }).quality).toBe(NONE)
    expect(reason(text, { name: 'NONE' })).toBe(why)
  })
})

describe('second channels', () => {
  const given = { pressureName: '*', switchName: 'FOOT' }
  test('stand beside the angle, or in a sentence of their own', () => {
    const beside = read(xdrLine('A,47.25,D,BEND', 'P,82.4,B,HYD', 'S,1,,FOOT'), given)
    expect(beside.all).toMatchObject({ value: 47.25, pressure: 82.4, switch: 1 })
    const alone = read(xdrLine('P,82.4,B,HYD'), given)
    expect(alone.quality).toBe(NONE)
    expect(alone.all).toMatchObject({ pressure: 82.4, trouble: null })
  })
  test('in pascal become bar; in another unit they are bad', () => {
    expect(read(xdrLine('P,8240000,P,HYD'), given).all).toMatchObject({ pressure: 82.4 })
    expect(read(xdrLine('P,8240000,X,HYD'), given).all).toMatchObject({ pressure: 0 })
  })
  test('are none unless they are chosen', () => {
    expect(read(xdrLine('A,1,D,B', 'P,82.4,B,')).all).toMatchObject({ pressure: 0, switch: 0 })
    expect(reason(xdrLine('P,82.4,B,'))).toBe('unknown sentence')
  })
})

test('lines of the host are not read', () => {
  expect(oneBlock(decodeXdr).feed([{ line: fromHost(TWO) }])[0]?.quality).toBe(NONE)
})
