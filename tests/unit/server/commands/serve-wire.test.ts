import { Command } from 'commander'
import { Value } from 'typebox/value'
import { describe, expect, test } from 'vitest'
import { BadInput, finiteNumber } from '../../../../server/commands/command.ts'
import { type WireFlags, wireFrom } from '../../../../server/commands/serve-wire.ts'
import { addWireOptions, WIRE_OPTIONS } from '../../../../server/commands/wire-options.ts'
import { Wire } from '../../../../server/messages/wire.ts'

/** The flags as commander reads them. */
function flagsOf(args: string): WireFlags {
  const command = addWireOptions(
    new Command('serve')
      .exitOverride()
      .configureOutput({ writeErr: () => undefined })
      .option('--serial <path>')
      .option('--tcp <host:port>')
      .option('--replay <file>')
      .option('--bench')
      .option('--baud <rate>', '', finiteNumber('--baud'))
      .option('--dialect <name>'),
  )
  command.parse(args.split(' ').filter(Boolean), { from: 'user' })
  return command.opts()
}
const wire = (args: string) => wireFrom(flagsOf(args))
function sentence(args: string): string {
  try {
    wire(args)
  } catch (error) {
    if (error instanceof BadInput) return error.message
    throw error
  }
  return ''
}

const MODBUS = '--serial /dev/x --dialect modbus-rtu --unit-id 1 --function input --register 8'

describe('a wire from its flags', () => {
  test.each([
    ['', null],
    ['--bench', { kind: 'bench' }],
    ['--serial /dev/x', { kind: 'serial', path: '/dev/x', baud: 115_200, dialect: 'native' }],
    ['--serial /dev/x --baud 57600', { baud: 57_600 }],
    ['--tcp 10.0.0.5:4001', { kind: 'tcp', host: '10.0.0.5', port: 4001, dialect: 'native' }],
    ['--tcp [fe80::1]:4001', { host: 'fe80::1', port: 4001 }],
    [
      '--serial /dev/x --dialect nmea-xdr --name BEND --pressure-name *',
      { baud: 4800, dialect: 'nmea-xdr', options: { name: 'BEND', pressureName: '*' } },
    ],
    [
      '--tcp a:1 --dialect number --separator comma --column 3 --unit counts --counts-per-turn 4096',
      {
        dialect: 'number',
        options: { separator: 'comma', column: 3, unit: 'counts', countsPerTurn: 4096 },
      },
    ],
    ['--serial /dev/x --dialect number --keeps-zero yes', { options: { keepsZero: true } }],
    [
      `${MODBUS} --registers-as float32 --word-order low-first --poll 0.05 --timeout 0.2`,
      {
        kind: 'modbus',
        path: '/dev/x',
        baud: 9600,
        options: {
          ...{ unitId: 1, function: 'input', register: 8, registersAs: 'float32' },
          ...{ wordOrder: 'low-first', pollS: 0.05, timeoutS: 0.2 },
        },
      },
    ],
    [
      `--replay ${import.meta.filename} --dialect number`,
      { kind: 'replay', file: import.meta.filename, dialect: 'number', options: {} },
    ],
  ])('%s', (args, expected) => {
    const made = wire(args)
    if (expected === null) expect(made).toBeNull()
    else {
      expect(made).toMatchObject(expected)
      expect(Value.Check(Wire, made)).toBe(true)
    }
  })
})

describe('what is refused, in one sentence with the flag', () => {
  test.each([
    ['--serial /dev/x --bench', '--serial, --tcp, --replay and --bench exclude one another'],
    ['--dialect smoke', '--dialect takes one of native, nmea-xdr, number, modbus-rtu'],
    ['--dialect number', '--dialect number needs --serial, --tcp or --replay.'],
    ['--bench --dialect number', '--dialect number needs'],
    ['--serial /dev/x --column 2', '--column belongs to --dialect number, not to native.'],
    ['--serial /dev/x --dialect nmea-xdr --unit-id 1', '--unit-id belongs to --dialect modbus-rtu'],
    ['--serial /dev/x --baud 100', '--baud must be >= 300, got 100.'],
    ['--serial /dev/x --baud 9600.5', '--baud must be integer, got 9600.5.'],
    ['--tcp a:1 --baud 9600', '--baud belongs to --serial, not to --tcp.'],
    ['--bench --baud 9600', '--baud belongs to --serial, not to --bench.'],
    ['--baud 9600', '--baud belongs to --serial: give both.'],
    ['--tcp a', '--tcp takes HOST:PORT'],
    ['--tcp a:b', '--tcp takes HOST:PORT'],
    ['--tcp a:0', '--tcp must be >= 1, got 0.'],
    ['--tcp a/b:1', '--tcp must match pattern'],
    ['--tcp a:1 --dialect modbus-rtu', '--dialect modbus-rtu is polled on a port of this machine'],
    ['--replay /nowhere', '--replay: there is no file /nowhere.'],
    ['--serial /dev/x --dialect modbus-rtu', '--unit-id is needed with --dialect modbus-rtu.'],
    [MODBUS, '--registers-as is needed'],
    [`${MODBUS} --registers-as int8`, '--registers-as takes one of int16,'],
    [`${MODBUS} --registers-as int16 --scale 0`, '--scale must not be 0: every angle would be 0.'],
    [
      `${MODBUS} --registers-as int16 --pressure-register 8`,
      "--pressure-register must be another register than the angle's.",
    ],
    [
      `${MODBUS} --registers-as int16 --pressure-register 800`,
      '--pressure-register must lie within 60 registers',
    ],
    [`${MODBUS} --registers-as int16 --poll 0`, '--poll must be >= 0.005, got 0.'],
    ['--serial /dev/x --dialect number --column 2', '--separator is needed'],
    ['--serial /dev/x --dialect number --column 0', '--column must be >= 1, got 0.'],
    [
      '--serial /dev/x --dialect number --separator tab --column 2 --pressure-column 2',
      "--pressure-column must be another column than the angle's.",
    ],
    [
      '--serial /dev/x --dialect number --separator tab --column 2 --switch-column 2',
      '--switch-column must be a column of its own.',
    ],
    ['--serial /dev/x --dialect number --unit rad', '--unit takes one of deg, counts, got "rad".'],
    ['--serial /dev/x --dialect number --counts-per-turn 0', '--counts-per-turn must be >= 1'],
    ['--serial /dev/x --dialect number --keeps-zero maybe', '--keeps-zero takes yes or no'],
    ['--serial /dev/x --dialect number --column two', '--column takes a number, got "two".'],
    ['--serial /dev/x --dialect nmea-xdr --type 1', '--type must match pattern'],
  ])('%s', (args, words) => {
    expect(sentence(args)).toContain(words)
    expect(sentence(args)).toMatch(/^--[^\n]+\.$/)
  })
})

test('every flag says in the help to which dialects it belongs', () => {
  const help = addWireOptions(new Command('serve')).helpInformation()
  for (const { flag, dialects } of WIRE_OPTIONS) {
    expect(help).toContain(flag)
    expect(help.replace(/\s+/g, ' ')).toContain(`${dialects.join(', ')}:`)
  }
})
