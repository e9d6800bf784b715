import { type Command, Option } from 'commander'
import type { Dialect } from '../messages/wire.ts'
import { BadInput, finiteNumber } from './command.ts'

/** One flag that says more of a sensor which is no board of ours. */
interface WireOption {
  readonly flag: string
  readonly value: string
  /** Its name in the options of the wire. */
  readonly key: string
  readonly dialects: readonly Dialect[]
  readonly reads: 'text' | 'number' | 'yes or no'
  readonly help: string
}

const LINES: readonly Dialect[] = ['nmea-xdr', 'number']
const ALL: readonly Dialect[] = [...LINES, 'modbus-rtu']
const XDR: readonly Dialect[] = ['nmea-xdr']
const NUMBER: readonly Dialect[] = ['number']
const MODBUS: readonly Dialect[] = ['modbus-rtu']

const option = (
  dialects: readonly Dialect[],
  [flag, value]: readonly [string, string],
  key: string,
  reads: WireOption['reads'],
  help: string,
): WireOption => ({ flag, value, key, dialects, reads, help })

/** In the order of the help. */
export const WIRE_OPTIONS: readonly WireOption[] = [
  option(ALL, ['--unit', 'word'], 'unit', 'text', 'what readings are in: deg or counts (deg)'),
  option(
    ALL,
    ['--counts-per-turn', 'counts'],
    'countsPerTurn',
    'number',
    'counts of a turn of the sensor, unless the set-up says it',
  ),
  option(
    ALL,
    ['--wraps-at', 'reading'],
    'wrapsAt',
    'number',
    'where readings begin again, in their unit, 0 for never (360 deg; 0 counts)',
  ),
  option(
    ALL,
    ['--keeps-zero', 'yes or no'],
    'keepsZero',
    'yes or no',
    'whether it reads the same after it was unplugged (number: no, else yes)',
  ),
  option(XDR, ['--name', 'name'], 'name', 'text', 'name of the transducer (the first of its type)'),
  option(XDR, ['--type', 'letter'], 'type', 'text', 'its type (A, an angle)'),
  option(XDR, ['--pressure-name', 'name'], 'pressureName', 'text', 'a pressure, type P, * first'),
  option(XDR, ['--switch-name', 'name'], 'switchName', 'text', 'a switch, type S, * for the first'),
  option(
    NUMBER,
    ['--separator', 'word'],
    'separator',
    'text',
    'between columns: comma, semicolon, tab, space, none (none)',
  ),
  option(
    NUMBER,
    ['--column', 'number'],
    'column',
    'number',
    'where the reading stands, from 1 (1)',
  ),
  option(
    NUMBER,
    ['--pressure-column', 'number'],
    'pressureColumn',
    'number',
    'where a pressure in bar stands, from 1',
  ),
  option(
    NUMBER,
    ['--switch-column', 'number'],
    'switchColumn',
    'number',
    'where a switch stands, from 1: 0 open, else closed',
  ),
  option(MODBUS, ['--unit-id', 'number'], 'unitId', 'number', 'address on the bus, 1 to 247'),
  option(MODBUS, ['--function', 'word'], 'function', 'text', 'registers: input or holding'),
  option(
    MODBUS,
    ['--register', 'number'],
    'register',
    'number',
    "the angle's first register, from 0 as on the wire",
  ),
  option(
    MODBUS,
    ['--registers-as', 'form'],
    'registersAs',
    'text',
    'int16, uint16, int32, uint32 or float32',
  ),
  option(
    MODBUS,
    ['--word-order', 'order'],
    'wordOrder',
    'text',
    'of two registers: high-first or low-first (high-first)',
  ),
  option(MODBUS, ['--scale', 'factor'], 'scale', 'number', 'degrees or counts for one step (1)'),
  option(MODBUS, ['--offset', 'steps'], 'offset', 'number', 'what the register shows at zero (0)'),
  option(
    MODBUS,
    ['--pressure-register', 'number'],
    'pressureRegister',
    'number',
    'first register of a pressure, read in the same way',
  ),
  option(MODBUS, ['--pressure-scale', 'bar'], 'pressureScale', 'number', 'bar for one step (1)'),
  option(MODBUS, ['--poll', 'seconds'], 'pollS', 'number', 'from poll to poll, 0.005 to 10 (0.02)'),
  option(
    MODBUS,
    ['--timeout', 'seconds'],
    'timeoutS',
    'number',
    'to wait for an answer, 0.02 to 10 (0.3)',
  ),
  option(MODBUS, ['--parity', 'word'], 'parity', 'text', 'none, even or odd (none)'),
]

const yesOrNo = (flag: string) => (text: string) => {
  if (text !== 'yes' && text !== 'no') throw new BadInput(`${flag} takes yes or no, got "${text}".`)
  return text === 'yes'
}

/** The help names the dialects that a flag belongs to. */
export function addWireOptions(command: Command): Command {
  for (const { flag, value, dialects, reads, help } of WIRE_OPTIONS) {
    const made = new Option(`${flag} <${value}>`, `${dialects.join(', ')}: ${help}`)
    if (reads === 'number') made.argParser(finiteNumber(flag))
    if (reads === 'yes or no') made.argParser(yesOrNo(flag))
    command.addOption(made)
  }
  return command
}

/** Commander's name for a flag's value: `--unit-id` is `unitId`. */
export const attributeOf = (flag: string): string =>
  flag.slice(2).replace(/-(.)/g, (_, letter: string) => letter.toUpperCase())
