import { readFileSync } from 'node:fs'
import { type Static, Type } from 'typebox'
import { BENCH_MOUNTS } from '../../firmware-protocol/bench/mount.ts'
import { oneOf, strict } from '../messages/schema.ts'
import { STATIONS_MAX } from '../messages/stations.ts'
import type { Wire } from '../messages/wire.ts'
import type { BenchSensor } from '../station/bench-sensor.ts'
import { Refused } from '../web/station-door.ts'
import { compileValidator } from '../web/validate.ts'
import { BadInput } from './command.ts'
import { type WireFlags, wireFrom } from './serve-wire.ts'
import { attributeOf, WIRE_OPTIONS } from './wire-options.ts'

const VERSION = 1

const text = Type.Optional(Type.String({ minLength: 1, maxLength: 256 }))
const scalar = Type.Union([Type.String(), Type.Number(), Type.Boolean()])

const Bench = strict({
  seed: Type.Optional(Type.Integer({ minimum: 0, maximum: 2 ** 31 - 1 })),
  mount: Type.Optional(oneOf(BENCH_MOUNTS)),
  pressure: Type.Optional(Type.Boolean()),
})

/** One bender: its name, and one wire as the command line has it. */
const Entry = strict({
  // Shorter than elsewhere: it is part of addresses and of names of settings.
  name: Type.String({ minLength: 1, maxLength: 40, pattern: '^\\S(.*\\S)?$' }),
  serial: text,
  tcp: text,
  replay: text,
  bench: Type.Optional(Bench),
  baud: Type.Optional(Type.Number()),
  dialect: text,
  options: Type.Optional(Type.Record(Type.String(), scalar)),
})
type Entry = Static<typeof Entry>

const StationsFile = strict({
  version: Type.Optional(Type.Integer({ minimum: 1 })),
  stations: Type.Array(Entry, { minItems: 1, maxItems: STATIONS_MAX }),
})
type StationsFile = Static<typeof StationsFile>

/** A bender of the file, ready to be made. */
export interface StationAsked {
  readonly key: string
  readonly name: string
  readonly wire: Wire
  readonly bench: { readonly seed: number; readonly sensor: BenchSensor }
}

/** Letters and digits of a name, in lower case, joined by hyphens: `Left bender` is `left-bender`. */
const keyOf = (name: string) =>
  name
    .toLowerCase()
    .normalize('NFKD')
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '')

function parsed(file: string): unknown {
  try {
    return JSON.parse(readFileSync(file, 'utf8'))
  } catch (error) {
    const why = error instanceof SyntaxError ? 'is not readable as JSON' : 'cannot be read'
    throw new BadInput(`--stations: ${file} ${why}: ${(error as Error).message}`)
  }
}

function checkedFile(file: string): StationsFile {
  const given = parsed(file)
  const version = (given as { version?: unknown } | null)?.version
  if (typeof version === 'number' && version > VERSION)
    throw new BadInput(
      `--stations: ${file} is of version ${version}; this program knows version ${VERSION}.`,
    )
  const check = compileValidator({ schema: StationsFile, method: 'GET', url: '', httpPart: 'body' })
  const { value, error } = check(given) as { value?: unknown; error?: Error }
  if (error) throw new BadInput(`--stations: ${file}: ${error.message}`)
  return value as StationsFile
}

/** The command line's words in those of the file: `--unit-id` is `options.unitId`. */
const asInFile = (sentence: string) =>
  sentence.replace(/--([a-z-]+)/g, (flag, word: string) => {
    const option = WIRE_OPTIONS.find((one) => one.flag === flag)
    return option === undefined ? word : `options.${option.key}`
  })

function wireOf({ options = {}, bench, name: _, ...entry }: Entry): Wire {
  const unknown = Object.keys(options).find((key) => !WIRE_OPTIONS.some((one) => one.key === key))
  if (unknown !== undefined)
    throw new BadInput(`options.${unknown} is not known here; leave it out.`)
  const named = WIRE_OPTIONS.filter(({ key }) => Object.hasOwn(options, key))
  const flags = Object.fromEntries(named.map(({ flag, key }) => [attributeOf(flag), options[key]]))
  const wire = wireFrom({ ...entry, ...flags, ...(bench && { bench: true }) } as WireFlags)
  if (wire === null) throw new BadInput('give one of serial, tcp, replay and bench.')
  return wire
}

function benchOf({ seed, mount = 'die', pressure = false }: Static<typeof Bench>, place: number) {
  if (pressure && mount.endsWith('tilt'))
    throw new BadInput(`bench.pressure does not go with bench.mount ${mount}.`)
  return { seed: seed ?? place, sensor: { mount, pressure } }
}

function asked(entry: Entry, place: number): StationAsked {
  const key = keyOf(entry.name)
  if (key === '') throw new BadInput('its name needs a letter or a digit.')
  return { key, name: entry.name, wire: wireOf(entry), bench: benchOf(entry.bench ?? {}, place) }
}

/** What only one can have hold of; null for what any number can. */
function holdOf(wire: Wire): string | null {
  if ('path' in wire) return `the port ${wire.path}`
  return wire.kind === 'tcp' ? `the converter ${wire.host}:${wire.port}` : null
}

function demandApart(all: readonly StationAsked[]): void {
  const taken = new Map<string, string>()
  for (const { key, name, wire } of all)
    for (const what of [`the name "${key}" in addresses`, holdOf(wire)]) {
      if (what === null) continue
      const other = taken.get(what)
      if (other !== undefined)
        throw new BadInput(`--stations: "${other}" and "${name}" both have ${what}: only one can.`)
      taken.set(what, name)
    }
}

/** The benders of a file. @throws BadInput with one sentence that names the station and the field at fault. */
export function stationsFrom(file: string): StationAsked[] {
  const all = checkedFile(file).stations.map((entry, at) => {
    try {
      return asked(entry, at + 1)
    } catch (error) {
      if (!(error instanceof BadInput || error instanceof Refused)) throw error
      throw new BadInput(`--stations: station "${entry.name}": ${asInFile(error.message)}`)
    }
  })
  demandApart(all)
  return all
}
