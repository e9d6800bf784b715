import type { Sensor } from '../../../server/messages/sensor.ts'
import { dottedPath } from '../../live/dotted-path.ts'
import { words } from '../../words/en.ts'
import { parseNumber } from '../../words/parse-length.ts'

/** The sensor's form: the text as typed or the key as chosen. */
export const SENSOR_FIELDS = [
  'mount',
  'counts',
  'turnDeg',
  'direction',
  'tiltOn',
  'sine',
  'cosine',
  'spindleDeg',
  'biteDeg',
  'backlashDeg',
  'second',
  'zeroCounts',
  'fullCounts',
  'fullBar',
  'letOffBar',
  'closedWhen',
  'autoDatum',
] as const
export type SensorField = (typeof SENSOR_FIELDS)[number]
export type SensorTexts = Record<SensorField, string>
type SensorProblems = Partial<Record<SensorField, string>>

/** What a shop has until it says otherwise; what a sensor leaves out is as the daemon takes it. */
export const USUAL: SensorTexts = {
  mount: 'die',
  counts: '0',
  turnDeg: '360',
  direction: 'forward',
  tiltOn: 'die',
  sine: '+x',
  cosine: '+z',
  spindleDeg: '0',
  biteDeg: '5',
  backlashDeg: '0',
  second: 'none',
  zeroCounts: '0',
  fullCounts: '4095',
  fullBar: '250',
  letOffBar: '10',
  closedWhen: 'zero',
  autoDatum: 'off',
}

const isTilt = ({ mount }: SensorTexts) => mount === 'swing-tilt' || mount === 'leg-tilt'

/** Which fields this sensor has: the others are neither shown nor sent. */
export function fieldsFor(texts: SensorTexts): SensorField[] {
  const { mount, second } = texts
  const isArm = mount === 'arm' || (mount === 'swing-tilt' && texts.tiltOn === 'arm')
  return [
    'mount',
    'counts',
    ...(isTilt(texts) ? (['sine', 'cosine', 'spindleDeg'] as const) : (['turnDeg'] as const)),
    ...(mount === 'swing-tilt' ? (['tiltOn'] as const) : []),
    'direction',
    ...(isArm ? (['biteDeg', 'backlashDeg'] as const) : []),
    'second',
    ...(second === 'pressure'
      ? (['zeroCounts', 'fullCounts', 'fullBar', 'letOffBar', 'autoDatum'] as const)
      : []),
    ...(second === 'switch' ? (['closedWhen'] as const) : []),
  ]
}

const WHOLES: readonly SensorField[] = ['counts', 'zeroCounts', 'fullCounts']
const NUMBERS: readonly SensorField[] = [
  'turnDeg',
  'spindleDeg',
  'biteDeg',
  'backlashDeg',
  'fullBar',
  'letOffBar',
]

/** What the form can see by itself is wrong; the daemon judges the rest. */
export function sensorProblems(texts: SensorTexts): SensorProblems {
  const problems: SensorProblems = {}
  for (const field of fieldsFor(texts)) {
    const text = texts[field].trim()
    if (WHOLES.includes(field) && !/^-?\d+$/.test(text)) problems[field] = words.setup.notWhole
    if (NUMBERS.includes(field) && parseNumber(text) === null)
      problems[field] = words.setup.notNumber
  }
  return problems
}

/** Reads a form without problems. What a mount has not is left out. */
export function readSensor(texts: SensorTexts): Sensor {
  const has = new Set(fieldsFor(texts))
  const number = (field: SensorField) => parseNumber(texts[field]) ?? Number.NaN
  const sensor: Record<string, unknown> = {
    mount: texts.mount,
    countsPerTurn: number('counts'),
    direction: texts.direction,
  }
  if (has.has('turnDeg') && number('turnDeg') !== 360) sensor['turnDeg'] = number('turnDeg')
  if (has.has('tiltOn')) sensor['tiltOn'] = texts.tiltOn
  if (has.has('sine')) {
    sensor['axes'] = { sine: texts.sine, cosine: texts.cosine }
    sensor['spindleDeg'] = number('spindleDeg')
  }
  if (has.has('biteDeg'))
    sensor['arm'] = { biteDeg: number('biteDeg'), backlashDeg: number('backlashDeg') }
  if (texts.second === 'pressure')
    sensor['second'] = {
      kind: 'pressure',
      zeroCounts: number('zeroCounts'),
      fullCounts: number('fullCounts'),
      fullBar: number('fullBar'),
      letOffBar: number('letOffBar'),
    }
  if (texts.second === 'switch') sensor['second'] = { kind: 'switch', closedWhen: texts.closedWhen }
  if (has.has('autoDatum') && texts.autoDatum === 'on') sensor['autoDatum'] = true
  return sensor as Sensor
}

/** Fills the form from a sensor in force. */
export function textsOfSensor(sensor: Sensor): SensorTexts {
  const { second, arm, axes } = sensor
  const given: Partial<Record<SensorField, string | number | undefined>> = {
    mount: sensor.mount,
    counts: sensor.countsPerTurn,
    direction: sensor.direction,
    turnDeg: sensor.turnDeg,
    tiltOn: sensor.tiltOn,
    sine: axes?.sine,
    cosine: axes?.cosine,
    spindleDeg: sensor.spindleDeg,
    biteDeg: arm?.biteDeg,
    backlashDeg: arm?.backlashDeg,
    second: second?.kind,
    autoDatum: sensor.autoDatum ? 'on' : undefined,
    ...(second?.kind === 'pressure' ? second : {}),
    ...(second?.kind === 'switch' ? { closedWhen: second.closedWhen } : {}),
  }
  const texts = { ...USUAL }
  for (const field of SENSOR_FIELDS)
    if (given[field] !== undefined) texts[field] = String(given[field])
  if (second?.kind === 'pressure' || second?.kind === 'switch') texts.second = second.kind
  return texts
}

/** Where the daemon's own names for a field stand in this form. */
const FIELD_OF_PATH: Readonly<Record<string, SensorField>> = {
  countsPerTurn: 'counts',
  'axes.sine': 'sine',
  'axes.cosine': 'cosine',
  axes: 'sine',
  'arm.biteDeg': 'biteDeg',
  'arm.backlashDeg': 'backlashDeg',
  'second.zeroCounts': 'zeroCounts',
  'second.fullCounts': 'fullCounts',
  'second.fullBar': 'fullBar',
  'second.letOffBar': 'letOffBar',
  'second.closedWhen': 'closedWhen',
}

/** The form's field for a path such as `/sensor/axes/sine`; null for one it has not. */
export function sensorFieldOf(path: string | undefined): SensorField | null {
  const plain = dottedPath(path).replace(/^sensor\./, '')
  const known = Object.hasOwn(FIELD_OF_PATH, plain) ? FIELD_OF_PATH[plain] : plain
  return SENSOR_FIELDS.find((field) => field === known) ?? null
}
