import { type Static, type TSchema, Type } from 'typebox'
import { oneOf, orNull, strict } from './schema.ts'

/** What a board or sensor can speak. */
export const DIALECTS = ['native', 'nmea-xdr', 'number', 'modbus-rtu'] as const
export type Dialect = (typeof DIALECTS)[number]

/** How the readings of a sensor without a hello of its own are meant. */
const READING = {
  unit: Type.Optional(oneOf(['deg', 'counts'])),
  countsPerTurn: Type.Optional(
    Type.Integer({
      minimum: 1,
      maximum: 2 ** 31 - 1,
      description: 'Counts of one turn of the sensor, where the set-up does not say it.',
    }),
  ),
  wrapsAt: Type.Optional(
    Type.Number({
      minimum: 0,
      maximum: 2 ** 32,
      description: 'Where the sensor begins again, in its unit: 360 for degrees; 0: it does not.',
    }),
  ),
  keepsZero: Type.Optional(
    Type.Boolean({ description: 'Whether it reads the same again after it was unplugged.' }),
  ),
}

const XDR_NAME_CHARS = 40
const transducer = (description: string) =>
  Type.Optional(Type.String({ maxLength: XDR_NAME_CHARS, description }))

export const XdrOptions = strict({
  ...READING,
  type: Type.Optional(
    Type.String({ pattern: '^[A-Z]$', description: 'Transducer type; A is an angle.' }),
  ),
  name: transducer('Name of the transducer; * or nothing takes the first of its type.'),
  pressureName: transducer('Name of the pressure, type P; * takes the first; empty: none.'),
  switchName: transducer('Name of the switch, type S; * takes the first; empty: none.'),
})
export type XdrOptions = Static<typeof XdrOptions>

const COLUMNS_MAX = 64
const column = (minimum: number, description: string) =>
  Type.Optional(Type.Integer({ minimum, maximum: COLUMNS_MAX, description }))

export const NumberOptions = strict({
  ...READING,
  separator: Type.Optional(oneOf(['none', 'comma', 'semicolon', 'tab', 'space'])),
  column: column(1, 'Where the reading stands, from 1.'),
  pressureColumn: column(0, 'Where a pressure in bar stands, from 1; 0: nowhere.'),
  switchColumn: column(0, 'Where a switch stands, 0 open, else closed; 0: nowhere.'),
})
export type NumberOptions = Static<typeof NumberOptions>

/** The unit ids that the specification gives to sensors; 0 is for all of them, and none answers it. */
const UNIT_ID_MAX = 247
const ADDRESS_MAX = 65_535
const FACTOR_MAX = 1e9
const factor = (description: string) =>
  Type.Optional(Type.Number({ minimum: -FACTOR_MAX, maximum: FACTOR_MAX, description }))

export const ModbusOptions = strict({
  ...READING,
  unitId: Type.Integer({ minimum: 1, maximum: UNIT_ID_MAX, description: 'Address on the bus.' }),
  function: oneOf(['input', 'holding']),
  register: Type.Integer({
    minimum: 0,
    maximum: ADDRESS_MAX,
    description: 'First register of the angle, from 0 as on the wire.',
  }),
  registersAs: oneOf(['int16', 'uint16', 'int32', 'uint32', 'float32']),
  wordOrder: Type.Optional(oneOf(['high-first', 'low-first'])),
  scale: factor('Degrees or counts for one step of the register; not 0.'),
  offset: factor('What the register shows at zero.'),
  pressureRegister: Type.Optional(
    Type.Integer({
      minimum: 0,
      maximum: ADDRESS_MAX,
      description: 'First register of a pressure, read in the same way.',
    }),
  ),
  pressureScale: factor('Bar for one step of the pressure; not 0.'),
  pollS: Type.Optional(
    Type.Number({ minimum: 0.005, maximum: 10, description: 'Seconds from poll to poll.' }),
  ),
  timeoutS: Type.Optional(
    Type.Number({ minimum: 0.02, maximum: 10, description: 'Seconds to wait for an answer.' }),
  ),
  parity: Type.Optional(oneOf(['none', 'even', 'odd'])),
})
export type ModbusOptions = Static<typeof ModbusOptions>

const PATH_CHARS = 256
const path = Type.String({
  minLength: 1,
  maxLength: PATH_CHARS,
  description: 'The port, best by its stable name under /dev/serial/by-id.',
})
const baud = Type.Integer({
  minimum: 300,
  maximum: 4_000_000,
  description: 'Speed of the port, baud.',
})
const SERIAL = { kind: Type.Literal('serial'), path, baud }
const TCP = {
  kind: Type.Literal('tcp'),
  host: Type.String({
    pattern: '^[A-Za-z0-9._:%-]{1,253}$',
    description: 'Name or address of a serial-over-network converter.',
  }),
  port: Type.Integer({ minimum: 1, maximum: 65_535, description: 'Its TCP port.' }),
}
const REPLAY = {
  kind: Type.Literal('replay'),
  file: Type.String({ minLength: 1, description: 'A file of recorded lines.' }),
}

const NATIVE = { dialect: Type.Literal('native') }
const XDR = { dialect: Type.Literal('nmea-xdr'), options: XdrOptions }
const NUMBER = { dialect: Type.Literal('number'), options: NumberOptions }

/** One shape for each kind and dialect, by `kind dialect`: what is checked is the one that is meant. */
const WIRE_SHAPES = {
  'serial native': strict({ ...SERIAL, ...NATIVE }),
  'serial nmea-xdr': strict({ ...SERIAL, ...XDR }),
  'serial number': strict({ ...SERIAL, ...NUMBER }),
  'tcp native': strict({ ...TCP, ...NATIVE }),
  'tcp nmea-xdr': strict({ ...TCP, ...XDR }),
  'tcp number': strict({ ...TCP, ...NUMBER }),
  modbus: strict({ kind: Type.Literal('modbus'), path, baud, options: ModbusOptions }),
  bench: strict({ kind: Type.Literal('bench') }),
} as const

/** What can be chosen as the wire: where lines come from and what they mean. */
export const WireChoice = Type.Union([
  WIRE_SHAPES['serial native'],
  WIRE_SHAPES['serial nmea-xdr'],
  WIRE_SHAPES['serial number'],
  WIRE_SHAPES['tcp native'],
  WIRE_SHAPES['tcp nmea-xdr'],
  WIRE_SHAPES['tcp number'],
  WIRE_SHAPES.modbus,
  WIRE_SHAPES.bench,
])
export type WireChoice = Static<typeof WireChoice>

const REPLAY_SHAPES = {
  'replay native': strict({ ...REPLAY, ...NATIVE }),
  'replay nmea-xdr': strict({ ...REPLAY, ...XDR }),
  'replay number': strict({ ...REPLAY, ...NUMBER }),
  'replay modbus-rtu': strict({
    ...REPLAY,
    dialect: Type.Literal('modbus-rtu'),
    options: ModbusOptions,
  }),
} as const

const Replay = Type.Union([
  REPLAY_SHAPES['replay native'],
  REPLAY_SHAPES['replay nmea-xdr'],
  REPLAY_SHAPES['replay number'],
  REPLAY_SHAPES['replay modbus-rtu'],
])

/** The shape that is meant by a kind and a dialect; undefined when there is none. */
export const shapeOf = (kind: string, dialect: string | undefined): TSchema | undefined => {
  const shapes: Readonly<Record<string, TSchema>> = { ...WIRE_SHAPES, ...REPLAY_SHAPES }
  const name = dialect === undefined ? kind : `${kind} ${dialect}`
  return Object.hasOwn(shapes, name) ? shapes[name] : undefined
}

/** What is in force: a replayed file is given on the command line only. */
export const Wire = Type.Union([...WireChoice.anyOf, ...Replay.anyOf], { type: 'object' })
export type Wire = WireChoice | Static<typeof Replay>

/** A raw line as it came, with what it was taken for. */
export const RecentLine = strict({
  arrivalS: Type.Number({ description: "When it was complete, on the station's clock." }),
  text: Type.String({ description: 'Bytes as characters, one to one.' }),
  ok: Type.Boolean({ description: 'Whether it could be read at all.' }),
  taken: Type.String({ description: 'The reading in a few words, or why there is none.' }),
})
export type RecentLine = Static<typeof RecentLine>

/** A serial port of this machine. */
export const PortFound = strict({
  path: Type.String({ description: 'Its stable name where it has one.' }),
  name: Type.String({ description: 'Maker, serial number and short name, for a person.' }),
  maker: orNull(Type.String()),
  serialNumber: orNull(Type.String()),
})
export type PortFound = Static<typeof PortFound>

export const ProbeAsk = strict({ path })
export type ProbeAsk = Static<typeof ProbeAsk>

/** What listening at a port found out. */
export const Probed = strict({
  wire: orNull(WireChoice),
  sure: Type.Number({ minimum: 0, maximum: 1, description: 'How sure it is, from 0 to 1.' }),
  sentence: Type.String({ description: 'What was heard, and why that is thought.' }),
  tries: Type.Array(
    strict({
      baud: Type.Integer(),
      dialect: orNull(oneOf(DIALECTS)),
      sure: Type.Number(),
      sentence: Type.String(),
    }),
  ),
})
export type Probed = Static<typeof Probed>
