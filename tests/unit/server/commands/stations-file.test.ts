import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, onTestFinished, test } from 'vitest'
import { stationsFrom } from '../../../../server/commands/stations-file.ts'

function fileOf(content: unknown): string {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-stations-'))
  onTestFinished(() => rmSync(folder, { recursive: true }))
  const file = join(folder, 'shop.json')
  writeFileSync(file, typeof content === 'string' ? content : JSON.stringify(content))
  return file
}

const of = (...stations: object[]) => stationsFrom(fileOf({ stations }))

test('each station gets a key for addresses, and a wire as the command line makes it', () => {
  const all = of(
    { name: 'Left bender', serial: '/dev/ttyACM0' },
    {
      name: 'Kröpfer 2',
      tcp: '10.0.0.5:4001',
      dialect: 'number',
      options: { column: 2, separator: 'comma' },
    },
    { name: 'Trial', bench: { seed: 7, mount: 'arm', pressure: true } },
    {
      name: 'Poll',
      serial: '/dev/ttyUSB1',
      dialect: 'modbus-rtu',
      options: { unitId: 3, function: 'input', register: 0, registersAs: 'uint16' },
    },
  )
  expect(all.map(({ key }) => key)).toEqual(['left-bender', 'kro-pfer-2', 'trial', 'poll'])
  expect(all.map(({ wire }) => wire)).toEqual([
    { kind: 'serial', path: '/dev/ttyACM0', baud: 115_200, dialect: 'native' },
    {
      ...{ kind: 'tcp', host: '10.0.0.5', port: 4001, dialect: 'number' },
      options: { column: 2, separator: 'comma' },
    },
    { kind: 'bench' },
    {
      ...{ kind: 'modbus', path: '/dev/ttyUSB1', baud: 9600 },
      options: { unitId: 3, function: 'input', register: 0, registersAs: 'uint16' },
    },
  ])
  expect(all[2]?.bench).toEqual({ seed: 7, sensor: { mount: 'arm', pressure: true } })
})

const bench = (name: string) => ({ name, bench: {} })

test.each<[string, unknown, RegExp]>([
  ['no JSON', '{', /is not readable as JSON/],
  [
    'a newer version',
    { version: 2, stations: [] },
    /is of version 2; this program knows version 1/,
  ],
  ['none', { stations: [] }, /stations/],
  ['too many', { stations: Array.from({ length: 17 }, (_, at) => bench(`b${at}`)) }, /at most 16/],
  [
    'an unknown field',
    { stations: [{ ...bench('a'), colour: 1 }] },
    /"stations.0.colour" is not known/,
  ],
  ['no name', { stations: [{ bench: {} }] }, /stations.0.name is missing/],
  ['no wire', { stations: [{ name: 'a' }] }, /station "a": give one of serial/],
  [
    'two wires',
    { stations: [{ ...bench('a'), tcp: 'h:1' }] },
    /station "a": serial, tcp, replay and bench exclude/,
  ],
  [
    'a bad option',
    { stations: [{ name: 'a', serial: '/x', dialect: 'number', options: { column: 99 } }] },
    /station "a": options.column/,
  ],
  [
    'an unknown option',
    { stations: [{ name: 'a', serial: '/x', options: { hue: 1 } }] },
    /options.hue is not known/,
  ],
  [
    'one name twice',
    { stations: [bench('Left'), bench('left')] },
    /"Left" and "left" both have the name/,
  ],
  [
    'one port twice',
    {
      stations: [
        { name: 'a', serial: '/x' },
        { name: 'b', serial: '/x', baud: 9600 },
      ],
    },
    /"a" and "b" both have the port \/x/,
  ],
  ['a name of signs', { stations: [bench('***')] }, /needs a letter or a digit/],
  [
    'an odd bench',
    { stations: [{ name: 'a', bench: { mount: 'leg-tilt', pressure: true } }] },
    /bench.pressure does not go/,
  ],
])('%s is refused with one sentence', (_, content, sentence) => {
  expect(() => stationsFrom(fileOf(content))).toThrow(sentence)
})
