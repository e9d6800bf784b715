import { existsSync } from 'node:fs'
import { Value } from 'typebox/value'
import { DIALECTS, type Dialect, shapeOf, type Wire } from '../messages/wire.ts'
import { wireTrouble } from '../station/wire-check.ts'
import { BadInput } from './command.ts'
import { attributeOf, WIRE_OPTIONS } from './wire-options.ts'

/** The flags that say where lines come from and what they mean. */
export interface WireFlags {
  readonly serial?: string
  readonly tcp?: string
  readonly replay?: string
  readonly bench?: true
  readonly baud?: number
  readonly dialect?: string
}

/** What boards and sensors of each dialect mostly use. */
const BAUD: Readonly<Record<Dialect, number>> = {
  native: 115_200,
  // NMEA 0183 names this one rate; faster ports are common all the same.
  'nmea-xdr': 4800,
  number: 115_200,
  'modbus-rtu': 9600,
}

/**
 * The wire that the flags ask for; null when they ask for none.
 * @throws BadInput with one sentence that names the flag at fault.
 */
export function wireFrom(flags: WireFlags): Wire | null {
  const sources = (['serial', 'tcp', 'replay', 'bench'] as const).filter((key) => key in flags)
  if (sources.length > 1)
    throw new BadInput(
      '--serial, --tcp, --replay and --bench exclude one another: give one of them.',
    )
  const dialect = dialectFrom(flags)
  const options = optionsFrom(flags, dialect)
  const [source] = sources
  if (flags.baud !== undefined && source !== 'serial')
    throw new BadInput(
      source === undefined
        ? '--baud belongs to --serial: give both.'
        : `--baud belongs to --serial, not to --${source}.`,
    )
  if (source === undefined || source === 'bench') {
    if (dialect !== 'native')
      throw new BadInput(`--dialect ${dialect} needs --serial, --tcp or --replay.`)
    return source === undefined ? null : { kind: 'bench' }
  }
  if (source === 'serial') return checked(serialWire(flags, dialect, options))
  if (source === 'replay') return checked(replayWire(flags.replay ?? '', dialect, options))
  return checked(tcpWire(flags.tcp ?? '', dialect, options))
}

function dialectFrom({ dialect = 'native' }: WireFlags): Dialect {
  const known = DIALECTS.find((name) => name === dialect)
  if (known) return known
  throw new BadInput(`--dialect takes one of ${DIALECTS.join(', ')}, got "${dialect}".`)
}

type Options = Readonly<Record<string, unknown>>

/** What the flags say of the sensor. @throws BadInput for a flag of another dialect. */
function optionsFrom(flags: WireFlags, dialect: Dialect): Options {
  const given = WIRE_OPTIONS.filter(({ flag }) => Object.hasOwn(flags, attributeOf(flag)))
  const stray = given.find(({ dialects }) => !dialects.includes(dialect))
  if (stray)
    throw new BadInput(
      `${stray.flag} belongs to --dialect ${stray.dialects.join(' or ')}, not to ${dialect}.`,
    )
  return Object.fromEntries(
    given.map(({ flag, key }) => [key, (flags as Options)[attributeOf(flag)]]),
  )
}

const meant = (dialect: Dialect, options: Options) =>
  dialect === 'native' ? { dialect } : { dialect, options }

function serialWire({ serial, baud }: WireFlags, dialect: Dialect, options: Options): object {
  const port = { path: serial, baud: baud ?? BAUD[dialect] }
  if (dialect === 'modbus-rtu') return { kind: 'modbus', ...port, options }
  return { kind: 'serial', ...port, ...meant(dialect, options) }
}

function replayWire(file: string, dialect: Dialect, options: Options): object {
  if (!existsSync(file)) throw new BadInput(`--replay: there is no file ${file}.`)
  return { kind: 'replay', file, ...meant(dialect, options) }
}

/** `host:port`, the host in brackets where it has colons of its own. */
const HOST_PORT = /^(?:\[([^\]]+)\]|([^:[\]]+)):(\d{1,5})$/

function tcpWire(tcp: string, dialect: Dialect, options: Options): object {
  if (dialect === 'modbus-rtu')
    throw new BadInput('--dialect modbus-rtu is polled on a port of this machine: give --serial.')
  const match = HOST_PORT.exec(tcp)
  if (!match) throw new BadInput(`--tcp takes HOST:PORT such as 10.0.0.5:4001, got "${tcp}".`)
  const host = match[1] ?? match[2]
  return { kind: 'tcp', host, port: Number(match[3]), ...meant(dialect, options) }
}

/** Which flag gave what stands at this place of a wire. */
function flagOf(place: string): string {
  const option = WIRE_OPTIONS.find(({ key }) => place === `options/${key}`)
  const own: Readonly<Record<string, string>> = {
    path: '--serial',
    baud: '--baud',
    host: '--tcp',
    port: '--tcp',
    file: '--replay',
  }
  return option?.flag ?? own[place] ?? `--${place}`
}

/** @throws BadInput for the first value that is missing or out of its range. */
function checked(wire: object): Wire {
  const { kind, dialect } = wire as { kind: string; dialect?: Dialect }
  const shape = shapeOf(kind, dialect)
  if (shape === undefined) throw new Error(`there is no shape for a wire of kind ${kind}`)
  const [error] = Value.Errors(shape, wire)
  if (error?.keyword === 'required') {
    const key = error.params.requiredProperties[0]
    throw new BadInput(`${flagOf(`options/${key}`)} is needed with --dialect modbus-rtu.`)
  }
  if (error) {
    const place = error.instancePath.slice(1)
    throw new BadInput(`${flagOf(place)} ${wordsOf(error)}, got ${valueAt(wire, place)}.`)
  }
  const trouble = wireTrouble(wire as Wire)
  if (trouble) throw new BadInput(`${flagOf(`options/${trouble.option}`)} ${trouble.must}.`)
  return wire as Wire
}

type Finding = ReturnType<typeof Value.Errors>[number]

function wordsOf(error: Finding): string {
  if (error.keyword === 'enum') return `takes one of ${error.params.allowedValues.join(', ')}`
  return error.message
}

function valueAt(wire: object, place: string): string {
  const value = place
    .split('/')
    .reduce<unknown>((at, key) => Reflect.get(Object(at), key) as unknown, wire)
  return JSON.stringify(value)
}
