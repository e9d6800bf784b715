import { describe, expect, test } from 'vitest'
import { catalogue } from '../../../../server/blocks/index.ts'
import { compileChain } from '../../../../server/chain/chain.ts'
import type { ChainFile } from '../../../../server/chain/chain-file.ts'
import { MOUNTS } from '../../../../server/messages/sensor.ts'
import type { ModbusOptions, Wire } from '../../../../server/messages/wire.ts'
import { AS_BOARD_SAYS, chainFor } from '../../../../server/station/chain-for.ts'
import { dialectOf, frontFor, lacksCounts } from '../../../../server/station/front-for.ts'
import { pollSpan } from '../../../../server/station/modbus-span.ts'
import { sensorNotices } from '../../../../server/station/sensor-notices.ts'

const MODBUS: ModbusOptions = {
  unitId: 1,
  function: 'input',
  register: 8,
  registersAs: 'float32',
}
const XDR: Wire = { kind: 'serial', path: '/dev/x', baud: 4800, dialect: 'nmea-xdr', options: {} }
const NUMBER: Wire = { kind: 'tcp', host: 'h', port: 1, dialect: 'number', options: {} }
const POLLED: Wire = { kind: 'modbus', path: '/dev/x', baud: 9600, options: MODBUS }
const parametersOf = ({ blocks }: Pick<ChainFile, 'blocks'>, id: string) =>
  blocks.find((block) => block.id === id)?.parameters

describe.each([
  ['nmea-xdr', XDR],
  ['number', NUMBER],
  ['modbus-rtu', POLLED],
] as const)('the chain of %s', (dialect, wire) => {
  test('is known, compiles, and names its dialect', () => {
    expect(dialectOf(wire)).toBe(dialect)
    expect(compileChain(chainFor(AS_BOARD_SAYS, wire), catalogue).revision).toBe(
      `die-${dialect} r1`,
    )
  })

  test('takes direction and gear from the set-up', () => {
    const sensor = { ...AS_BOARD_SAYS, direction: 'reversed' as const, turnDeg: 90 }
    expect(parametersOf(frontFor(wire, sensor)!, 'degrees')).toMatchObject({
      perTurn: 360,
      wrapsAt: 360,
      direction: -1,
      degPerTurn: 90,
    })
  })
})

test.each<[string, Wire]>([
  ['the bench', { kind: 'bench' }],
  ['a native board', { kind: 'serial', path: '/dev/x', baud: 115_200, dialect: 'native' }],
])('%s has no front of another dialect', (_, wire) => {
  expect(frontFor(wire, AS_BOARD_SAYS)).toBeNull()
  expect(chainFor(AS_BOARD_SAYS, wire)).toEqual(chainFor(AS_BOARD_SAYS))
})

describe('counts', () => {
  const counts = (more: object): Wire => ({
    ...NUMBER,
    options: { unit: 'counts', ...more },
  })
  const turn = (wire: Wire, countsPerTurn = 0) =>
    parametersOf(frontFor(wire, { ...AS_BOARD_SAYS, countsPerTurn })!, 'degrees')
  test.each([
    ['nobody says a turn', counts({}), 0, { perTurn: 0, wrapsAt: 0, keepsZero: false }],
    ['the wire says it', counts({ countsPerTurn: 2048 }), 0, { perTurn: 2048 }],
    ['the set-up goes before it', counts({ countsPerTurn: 2048 }), 4096, { perTurn: 4096 }],
    ['a wrap and a kept zero', counts({ wrapsAt: 4096, keepsZero: true }), 1, { wrapsAt: 4096 }],
  ] as const)('%s', (_, wire, countsPerTurn, expected) => {
    expect(turn(wire, countsPerTurn)).toMatchObject(expected)
  })
})

describe('second channels stand where they were chosen', () => {
  test.each<[string, Wire, object]>([
    ['none', XDR, { pressure: null, switch: null }],
    [
      'XDR',
      { ...XDR, options: { pressureName: '*', switchName: 'F' } } as Wire,
      { pressure: 'decode.pressure', switch: 'decode.switch' },
    ],
    [
      'a column',
      { ...NUMBER, options: { separator: 'comma', column: 1, pressureColumn: 2 } } as Wire,
      { pressure: 'decode.pressure', switch: null },
    ],
    [
      'a register',
      { ...POLLED, options: { ...MODBUS, pressureRegister: 4 } } as Wire,
      { pressure: 'decode.pressure' },
    ],
  ])('%s', (_, wire, gives) => {
    expect(frontFor(wire, AS_BOARD_SAYS)?.gives).toMatchObject(gives)
  })
})

describe('the registers of one poll', () => {
  test.each([
    [{}, { register: 8, count: 2, at: 0, pressureAt: -1 }],
    [{ registersAs: 'int16' }, { register: 8, count: 1, at: 0, pressureAt: -1 }],
    [{ pressureRegister: 12 }, { register: 8, count: 6, at: 0, pressureAt: 4 }],
    [{ pressureRegister: 2 }, { register: 2, count: 8, at: 6, pressureAt: 0 }],
  ] as const)('%j: %j', (more, expected) => {
    expect(pollSpan({ ...MODBUS, ...more })).toEqual(expected)
  })
})

describe('counts of which nobody knows the turn', () => {
  const counts = (more: object): Wire => ({ ...NUMBER, options: { unit: 'counts', ...more } })
  test.each([
    [counts({}), 0, true],
    [counts({}), 4096, false],
    [counts({ countsPerTurn: 4096 }), 0, false],
    [NUMBER, 0, false],
    [{ kind: 'bench' } as Wire, 0, false],
  ])('%j with %d: %s', (wire, countsPerTurn, lacks) => {
    const sensor = { ...AS_BOARD_SAYS, countsPerTurn }
    expect(lacksCounts(wire, sensor)).toBe(lacks)
    const seen = { device: null, gravity: null }
    const ids = sensorNotices(sensor, seen, wire).map(({ id }) => id)
    expect(ids).toEqual(lacks ? ['no-counts-per-turn'] : [])
  })
})

test('every block that is no delay is in some chain', () => {
  const pressure = { kind: 'pressure', zeroCounts: 0, fullCounts: 1000, fullBar: 250 } as const
  const seconds = [
    { ...pressure, letOffBar: 5 },
    { kind: 'switch', closedWhen: 'zero' },
  ] as const
  const sensors = MOUNTS.flatMap((mount) => [
    { ...AS_BOARD_SAYS, mount },
    ...seconds.map((second) => ({ ...AS_BOARD_SAYS, mount, second, autoDatum: true })),
  ])
  const wires: readonly (Wire | undefined)[] = [undefined, XDR, NUMBER, POLLED]
  const chains = sensors.flatMap((sensor) => wires.map((wire) => chainFor(sensor, wire)))
  const used = new Set(chains.flatMap(({ blocks }) => blocks.map(({ kind }) => kind)))
  // A calibration is put into the chain of a set-up that has one; the others a shop puts in by itself.
  const elsewhere = [
    ...['calibration', 'low-pass', 'notch', 'median', 'one-euro', 'alpha-beta', 'rate-limiter'],
    ...['average', 'compare', 'switch-over', 'threshold', 'timer', 'counter', 'formula'],
    ...['csv-tap', 'mqtt-publish', 'webhook', 'output'],
  ]
  const unused = catalogue.filter(({ kind, delays }) => !delays && !used.has(kind))
  expect(unused.map(({ kind }) => kind)).toEqual(elsewhere)
})
