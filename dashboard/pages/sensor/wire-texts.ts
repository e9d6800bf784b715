import type { Wire, WireChoice } from '../../../server/messages/wire.ts'
import { dottedPath } from '../../live/dotted-path.ts'
import { words } from '../../words/en.ts'
import { parseNumber } from '../../words/parse-length.ts'

/** The wire's form: the text as typed or the key as chosen. */
export const WIRE_FIELDS = [
  'kind',
  'path',
  'baud',
  'host',
  'port',
  'dialect',
  'unit',
  'separator',
  'column',
  'name',
  'unitId',
  'function',
  'register',
  'registersAs',
  'wordOrder',
  'scale',
] as const
export type WireField = (typeof WIRE_FIELDS)[number]
export type WireTexts = Record<WireField, string>
type WireProblems = Partial<Record<WireField, string>>

export const USUAL_WIRE: WireTexts = {
  kind: 'serial',
  path: '',
  baud: '115200',
  host: '',
  port: '4001',
  dialect: 'native',
  unit: 'deg',
  separator: 'none',
  column: '1',
  name: '*',
  unitId: '1',
  function: 'input',
  register: '0',
  registersAs: 'int16',
  wordOrder: 'high-first',
  scale: '0.01',
}

const MODBUS: readonly WireField[] = [
  'unitId',
  'function',
  'register',
  'registersAs',
  'wordOrder',
  'scale',
]

function fieldsOfDialect({ dialect, separator }: WireTexts): WireField[] {
  if (dialect === 'nmea-xdr') return ['name', 'unit']
  if (dialect !== 'number') return []
  return separator === 'none' ? ['unit', 'separator'] : ['unit', 'separator', 'column']
}

/** Which fields this wire has: the others are neither shown nor sent. */
export function wireFieldsFor(texts: WireTexts): WireField[] {
  if (texts.kind === 'bench') return ['kind']
  if (texts.kind === 'modbus') return ['kind', 'path', 'baud', ...MODBUS]
  const where: WireField[] = texts.kind === 'tcp' ? ['host', 'port'] : ['path', 'baud']
  return ['kind', ...where, 'dialect', ...fieldsOfDialect(texts)]
}

const WHOLES: readonly WireField[] = ['baud', 'port', 'column', 'unitId', 'register']

/** What the form can see by itself is wrong; the daemon judges the rest. */
export function wireProblems(texts: WireTexts): WireProblems {
  const problems: WireProblems = {}
  for (const field of wireFieldsFor(texts)) {
    const text = texts[field].trim()
    if (text === '') problems[field] = words.setup.required
    else if (WHOLES.includes(field) && !/^\d+$/.test(text)) problems[field] = words.setup.notWhole
    else if (field === 'scale' && parseNumber(text) === null)
      problems[field] = words.setup.notNumber
  }
  return problems
}

/** Options of the dialect, as far as this form has them. */
function optionsOf(texts: WireTexts): Record<string, unknown> {
  const { dialect, unit, separator } = texts
  if (dialect === 'nmea-xdr') return { unit, name: texts.name.trim() }
  const column = separator === 'none' ? 1 : Number(texts.column)
  return { unit, separator, column }
}

/** Reads a form without problems. */
export function readWire(texts: WireTexts): WireChoice {
  const port = { path: texts.path.trim(), baud: Number(texts.baud) }
  if (texts.kind === 'bench') return { kind: 'bench' }
  if (texts.kind === 'modbus') {
    const { function: from, registersAs, wordOrder } = texts
    const options = {
      unitId: Number(texts.unitId),
      function: from,
      register: Number(texts.register),
      registersAs,
      wordOrder,
      scale: parseNumber(texts.scale) ?? Number.NaN,
    }
    return { kind: 'modbus', ...port, options } as WireChoice
  }
  const where =
    texts.kind === 'tcp'
      ? { kind: 'tcp', host: texts.host.trim(), port: Number(texts.port) }
      : { kind: 'serial', ...port }
  const { dialect } = texts
  return (
    dialect === 'native' ? { ...where, dialect } : { ...where, dialect, options: optionsOf(texts) }
  ) as WireChoice
}

/** Fills the form from a wire in force; a replayed file is no choice of this form. */
export function textsOfWire(wire: Wire): WireTexts {
  if (wire.kind === 'replay') return USUAL_WIRE
  const flat: Record<string, unknown> = { ...wire, ...('options' in wire ? wire.options : {}) }
  const texts = { ...USUAL_WIRE }
  for (const field of WIRE_FIELDS) if (flat[field] !== undefined) texts[field] = String(flat[field])
  return texts
}

/** The form's field for a path such as `/options/scale`; null for one it has not. */
export function wireFieldOf(path: string | undefined): WireField | null {
  const plain = dottedPath(path).replace(/^options\./, '')
  return WIRE_FIELDS.find((field) => field === plain) ?? null
}
