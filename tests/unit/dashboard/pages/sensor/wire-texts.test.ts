import { Value } from 'typebox/value'
import { describe, expect, test } from 'vitest'
import {
  readWire,
  textsOfWire,
  USUAL_WIRE,
  WIRE_FIELDS,
  type WireTexts,
  wireFieldOf,
  wireFieldsFor,
  wireProblems,
} from '../../../../../dashboard/pages/sensor/wire-texts.ts'
import { words } from '../../../../../dashboard/words/en.ts'
import { WireChoice } from '../../../../../server/messages/wire.ts'

const CASES: readonly Partial<WireTexts>[] = [
  { path: '/dev/serial/by-id/board' },
  { path: '/dev/ttyUSB0', baud: '9600', dialect: 'nmea-xdr', name: 'ANGLE' },
  { path: '/dev/ttyUSB0', dialect: 'number' },
  { path: '/dev/ttyUSB0', dialect: 'number', separator: 'comma', column: '3', unit: 'counts' },
  { kind: 'tcp', host: '10.0.0.7', port: '4001' },
  { kind: 'tcp', host: 'converter.shop', dialect: 'nmea-xdr' },
  { kind: 'tcp', host: '10.0.0.7', dialect: 'number' },
  { kind: 'modbus', path: '/dev/ttyUSB0', baud: '19200', registersAs: 'float32', scale: '1' },
  { kind: 'bench' },
]

describe('the wire form', () => {
  test.each(CASES)('%j is what the daemon takes, and comes back unchanged', (change) => {
    const texts = { ...USUAL_WIRE, ...change }
    expect(wireProblems(texts)).toEqual({})
    const wire = readWire(texts)
    expect(Value.Check(WireChoice, wire)).toBe(true)
    expect(readWire(textsOfWire(wire))).toEqual(wire)
  })

  test('what a wire has not is neither shown nor sent', () => {
    const bench = { ...USUAL_WIRE, kind: 'bench', baud: 'fast' }
    expect(wireProblems(bench)).toEqual({})
    expect(readWire(bench)).toEqual({ kind: 'bench' })
  })

  test.each([
    [{ path: ' ' }, 'path', words.setup.required],
    [{ path: '/dev/a', baud: '9.6k' }, 'baud', words.setup.notWhole],
    [{ kind: 'tcp', host: 'a', port: '' }, 'port', words.setup.required],
    [{ kind: 'modbus', path: '/dev/a', scale: 'x' }, 'scale', words.setup.notNumber],
  ] as const)('%j is answered beside %s', (change, field, sentence) => {
    expect(wireProblems({ ...USUAL_WIRE, ...change })).toEqual({ [field]: sentence })
  })

  test('a replayed file is nothing that this form can choose', () => {
    expect(textsOfWire({ kind: 'replay', file: 'a.txt', dialect: 'native' })).toEqual(USUAL_WIRE)
  })

  test('every field can come on show and has its words', () => {
    const shown = new Set(CASES.flatMap((change) => wireFieldsFor({ ...USUAL_WIRE, ...change })))
    expect([...shown].toSorted()).toEqual([...WIRE_FIELDS].toSorted())
    expect(Object.keys(words.sensor.wire.fields).toSorted()).toEqual([...WIRE_FIELDS].toSorted())
  })
})

describe('the daemon names a field of the wire', () => {
  test.each([
    ['/options/scale', 'scale'],
    ['body/options/unitId', 'unitId'],
    ['/path', 'path'],
    ['baud', 'baud'],
  ])('%s: the form shows it at %s', (path, field) => {
    expect(wireFieldOf(path)).toBe(field)
  })
  test.each([undefined, '', '/options', '/file', 'constructor'])(
    '%s: it is said under the form',
    (path) => {
      expect(wireFieldOf(path)).toBeNull()
    },
  )
})
