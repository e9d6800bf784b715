import { describe, expect, test } from 'vitest'
import type { Sensor } from '../../../../server/messages/sensor.ts'
import type { ModbusOptions, Wire } from '../../../../server/messages/wire.ts'
import { AS_BOARD_SAYS } from '../../../../server/station/chain-for.ts'
import { secondNotices } from '../../../../server/station/second-notices.ts'

const SERIAL = { kind: 'serial', path: '/dev/ttyUSB0', baud: 115_200 } as const
const NATIVE: Wire = { ...SERIAL, dialect: 'native' }
const number = (options: object): Wire => ({ ...SERIAL, dialect: 'number', options })
const xdr = (options: object): Wire => ({ ...SERIAL, dialect: 'nmea-xdr', options })
const MODBUS: ModbusOptions = {
  unitId: 1,
  function: 'input',
  register: 0,
  registersAs: 'int16',
}
const { kind: _, ...PORT } = SERIAL
const modbus = (options: object): Wire => ({
  kind: 'modbus',
  ...PORT,
  options: { ...MODBUS, ...options },
})
const PRESSURE: Sensor = {
  ...AS_BOARD_SAYS,
  second: { kind: 'pressure', zeroCounts: 0, fullCounts: 9, fullBar: 9, letOffBar: 1 },
}
const SWITCH: Sensor = { ...AS_BOARD_SAYS, second: { kind: 'switch', closedWhen: 'zero' } }
const LONG = { pressureS: 5, switchS: 5 }

describe('a second channel that does not come', () => {
  test.each<[string, Sensor, Wire | undefined, string[]]>([
    [
      'a board',
      PRESSURE,
      NATIVE,
      ["Readings come, but no pressure on the board's second channel."],
    ],
    [
      'a board of an unnamed wire',
      SWITCH,
      undefined,
      ["Readings come, but nothing of the switch on the board's second channel."],
    ],
    [
      'a column',
      AS_BOARD_SAYS,
      number({ pressureColumn: 3 }),
      ['Readings come, but no pressure in column 3.'],
    ],
    [
      'two columns',
      AS_BOARD_SAYS,
      number({ pressureColumn: 3, switchColumn: 4 }),
      [
        'Readings come, but no pressure in column 3.',
        'Readings come, but nothing of the switch in column 4.',
      ],
    ],
    [
      'a transducer',
      AS_BOARD_SAYS,
      xdr({ pressureName: 'RAM' }),
      ['Readings come, but no pressure of the transducer RAM.'],
    ],
    [
      'any transducer',
      AS_BOARD_SAYS,
      xdr({ switchName: '*' }),
      ['Readings come, but nothing of the switch of any transducer of type S.'],
    ],
    [
      'register 0',
      AS_BOARD_SAYS,
      modbus({ register: 4, pressureRegister: 0 }),
      ['Readings come, but no pressure in register 0.'],
    ],
  ])('%s is told of by its place', (_, sensor, wire, texts) => {
    const notices = secondNotices(sensor, LONG, wire)
    expect(notices.map(({ text }) => text)).toEqual(texts)
    for (const { kind, hint } of notices) {
      expect(kind).toBe('fault')
      expect(hint).toMatch(/Sensor page.*\.$/)
    }
  })

  test('is waited for five seconds, each by itself', () => {
    const wire = number({ pressureColumn: 3, switchColumn: 4 })
    const ids = (pressureS: number, switchS: number) =>
      secondNotices(AS_BOARD_SAYS, { pressureS, switchS }, wire).map(({ id }) => id)
    expect(ids(4.9, 4.9)).toEqual([])
    expect(ids(5.1, 4.9)).toEqual(['no-pressure'])
    expect(ids(0, 5)).toEqual(['no-switch'])
    expect(ids(Number.NaN, Number.NaN)).toEqual([])
  })

  test.each<[string, Sensor, Wire]>([
    ['a board', AS_BOARD_SAYS, NATIVE],
    ['the bench', AS_BOARD_SAYS, { kind: 'bench' }],
    ['numbers', AS_BOARD_SAYS, number({ pressureColumn: 0, switchColumn: 0 })],
    ['numbers of which nobody said more', AS_BOARD_SAYS, number({})],
    ['transducers', AS_BOARD_SAYS, xdr({ pressureName: '', switchName: '' })],
    ['registers', AS_BOARD_SAYS, modbus({})],
    // The set-up's channel is the board's: other lines say where theirs stands.
    ['numbers, whatever a board would have', PRESSURE, number({})],
  ])('is not missed where none was named: %s', (_, sensor, wire) => {
    expect(secondNotices(sensor, LONG, wire)).toEqual([])
  })
})
