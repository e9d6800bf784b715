import { describe, expect, test } from 'vitest'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import type { Wire } from '../../../../server/messages/wire.ts'
import { meaningOf } from '../../../../server/station/line-meaning.ts'
import { xdrLine } from '../../../support/dialect-lines.ts'

const PORT = { kind: 'serial', path: '/dev/x', baud: 9600 } as const
const NATIVE: Wire = { ...PORT, dialect: 'native' }
const XDR: Wire = { ...PORT, dialect: 'nmea-xdr', options: {} }
const COLUMNS: Wire = { ...PORT, dialect: 'number', options: { separator: 'comma', column: 2 } }
const POLLED: Wire = {
  ...{ kind: 'modbus', path: '/dev/x', baud: 9600 },
  options: { unitId: 1, function: 'input', register: 2, registersAs: 'float32' },
}
const sample = encodeSentence({
  ...{ kind: 'sample', sequence: 1, tickUs: 2, counts: 4711, flags: 0, second: null },
})

describe('what a line was taken for', () => {
  test.each<[string, Wire, string, boolean, string]>([
    ['a sample', NATIVE, sample, true, 'sample 4711'],
    ['the same of the bench', { kind: 'bench' }, sample, true, 'sample 4711'],
    ['a damaged one', NATIVE, sample.replace('4711', '4712'), false, 'bad checksum'],
    [
      'transducers',
      XDR,
      xdrLine('A,47.25,D,BEND', 'S,,,FOOT'),
      true,
      'A BEND 47.25 D, S FOOT no reading',
    ],
    ['no transducers', XDR, '47.25', false, 'no start'],
    ['columns', COLUMNS, '1, 47.25,', true, '1 | 47.25 | '],
    ['no columns', COLUMNS, 'ÿ', false, 'not printable'],
    ['registers', POLLED, 'MB 1 5 423D0000', true, 'registers 16957 0 as float32 47.25'],
    [
      'a float that is none',
      POLLED,
      'MB 1 5 7FC00000',
      true,
      'registers 32704 0 as float32 no reading',
    ],
    ['a poll without an answer', POLLED, 'ME 1 timeout 0', false, 'timeout'],
    ['a refusal', POLLED, 'ME 1 exception 2', false, 'exception 2'],
    ['no poll', POLLED, '47.25', false, 'unknown sentence'],
    [
      'a replayed poll',
      { kind: 'replay', file: 'f', dialect: 'modbus-rtu', options: POLLED.options } as Wire,
      'ME 1 crc 0',
      false,
      'crc',
    ],
  ])('%s', (_, wire, text, ok, taken) => {
    expect(meaningOf(wire, text)).toEqual({ ok, taken })
  })
})
