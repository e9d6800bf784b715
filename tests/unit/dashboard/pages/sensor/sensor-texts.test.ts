import { Value } from 'typebox/value'
import { describe, expect, test } from 'vitest'
import {
  fieldsFor,
  readSensor,
  SENSOR_FIELDS,
  type SensorTexts,
  sensorFieldOf,
  sensorProblems,
  textsOfSensor,
  USUAL,
} from '../../../../../dashboard/pages/sensor/sensor-texts.ts'
import { words } from '../../../../../dashboard/words/en.ts'
import { MOUNTS, Sensor } from '../../../../../server/messages/sensor.ts'
import { STANDARD_AXES } from '../../../../../server/station/swing-plane.ts'

const CASES: readonly Partial<SensorTexts>[] = [
  ...MOUNTS.map((mount) => ({ mount })),
  { mount: 'swing-tilt', tiltOn: 'arm' },
  { turnDeg: '90', counts: '4096', direction: 'reversed' },
  { mount: 'arm', second: 'pressure', autoDatum: 'on' },
  { mount: 'arm', second: 'switch', closedWhen: 'not-zero' },
  { mount: 'leg-tilt', sine: '-z', cosine: '+x', spindleDeg: '12.5' },
]

describe('the sensor form', () => {
  test.each(CASES)('%j is what the daemon takes, and comes back unchanged', (change) => {
    const texts = { ...USUAL, ...change }
    expect(sensorProblems(texts)).toEqual({})
    const sensor = readSensor(texts)
    expect([...Value.Errors(Sensor, sensor)]).toEqual([])
    expect(readSensor(textsOfSensor(sensor))).toEqual(sensor)
    for (const field of fieldsFor(texts)) expect(textsOfSensor(sensor)[field]).toBe(texts[field])
  })

  test('what a mount has not is neither shown nor sent', () => {
    const die = readSensor({ ...USUAL, spindleDeg: 'x', biteDeg: 'y', fullBar: 'z' })
    expect(die).toEqual({ mount: 'die', countsPerTurn: 0, direction: 'forward' })
    expect(sensorProblems({ ...USUAL, spindleDeg: 'x', biteDeg: 'y' })).toEqual({})
  })

  test('axes that a sensor leaves out are shown, and sent, as the daemon takes them', () => {
    const sensor = { mount: 'swing-tilt', countsPerTurn: 0, direction: 'forward' } as const
    expect(readSensor(textsOfSensor(sensor)).axes).toEqual(STANDARD_AXES)
  })

  test('a datum by itself stays off until it is chosen, and needs a pressure', () => {
    expect(readSensor(USUAL).autoDatum).toBeUndefined()
    expect(readSensor({ ...USUAL, autoDatum: 'on' }).autoDatum).toBeUndefined()
    expect(readSensor({ ...USUAL, second: 'pressure' }).autoDatum).toBeUndefined()
  })

  test.each([
    ['counts', '1e4', words.setup.notWhole],
    ['counts', '', words.setup.notWhole],
    ['turnDeg', 'whole', words.setup.notNumber],
  ] as const)('%s "%s" is answered beside the field', (field, text, sentence) => {
    expect(sensorProblems({ ...USUAL, [field]: text })).toEqual({ [field]: sentence })
  })

  test('every field can come on show, and every choice has its words', () => {
    const shown = new Set(CASES.flatMap((change) => fieldsFor({ ...USUAL, ...change })))
    expect([...shown].toSorted()).toEqual([...SENSOR_FIELDS].toSorted())
    expect(Object.keys(words.sensor.mount.fields).toSorted()).toEqual([...SENSOR_FIELDS].toSorted())
    for (const [field, named] of Object.entries(words.sensor.mount.choices))
      expect(Object.keys(named)).toContain(USUAL[field as keyof SensorTexts])
    for (const mount of MOUNTS) expect(words.sensor.mount.about[mount].length).toBeGreaterThan(20)
  })
})

describe('the daemon names a field of the sensor', () => {
  test.each([
    ['/sensor/axes/sine', 'sine'],
    ['sensor.countsPerTurn', 'counts'],
    ['body/sensor/second/fullBar', 'fullBar'],
    ['/sensor/turnDeg', 'turnDeg'],
    ['/sensor/mount', 'mount'],
  ])('%s: the form shows it at %s', (path, field) => {
    expect(sensorFieldOf(path)).toBe(field)
  })
  test.each([undefined, '', '/die/odMm', 'constructor'])(
    '%s: it is said under the form',
    (path) => {
      expect(sensorFieldOf(path)).toBeNull()
    },
  )
})
