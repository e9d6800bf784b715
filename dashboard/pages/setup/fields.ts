import type { Sensor } from '../../../server/messages/sensor.ts'
import type { Job, Setup } from '../../../server/messages/setup.ts'
import { dottedPath } from '../../live/dotted-path.ts'
import { words } from '../../words/en.ts'
import { parseLengthMm, parseNumber } from '../../words/parse-length.ts'
import {
  metalTexts,
  NO_METAL,
  OWN_FIELDS,
  OWN_PATHS,
  type OwnField,
  ownProblemsOf,
  readMetal,
} from './own-fields.ts'
import {
  classOf,
  NO_PLAN,
  PLAN_FIELDS,
  PLAN_PATHS,
  type PlanField,
  planProblemsOf,
  planTextsOf,
  readPlan,
} from './plan-fields.ts'

/** What the form holds: the text as typed, one for each field. */
export const FIELDS = [
  'station',
  'dieName',
  'dieOd',
  'clr',
  'od',
  'wall',
  'material',
  ...OWN_FIELDS,
  'lot',
  'part',
  'revision',
  'finder',
  'piece',
  'bend',
  'wanted',
  'tolerance',
  'operator',
  'costGo',
  'costTube',
  ...PLAN_FIELDS,
] as const
export type Field = (typeof FIELDS)[number]
export type Texts = Record<Field, string>
export type Problems = Partial<Record<Field, string>>

const LENGTHS = new Set<Field>(['dieOd', 'clr', 'od', 'wall'])
const WHOLES = new Set<Field>(['piece', 'bend'])
const ANGLES = new Set<Field>(['wanted', 'tolerance'])
/** Both or neither. */
const COSTS = ['costGo', 'costTube'] as const

/** Where the daemon's own names for a field stand in this form. */
const FIELD_OF_PATH: Readonly<Record<string, Field>> = {
  station: 'station',
  'die.name': 'dieName',
  'die.odMm': 'dieOd',
  'die.clrMm': 'clr',
  'tube.odMm': 'od',
  'tube.wallMm': 'wall',
  'tube.material': 'material',
  ...Object.fromEntries(
    Object.entries(OWN_PATHS).map(([name, field]) => [`tube.ownMaterial.${name}`, field]),
  ),
  'tube.lot': 'lot',
  part: 'part',
  drawingRevision: 'revision',
  angleFinder: 'finder',
  piece: 'piece',
  bendNumber: 'bend',
  wantedDeg: 'wanted',
  toleranceDeg: 'tolerance',
  operator: 'operator',
  'costs.oneMoreGo': 'costGo',
  'costs.scrap': 'costTube',
  ...PLAN_PATHS,
}

/** The form's field for a path such as `/die/odMm` or `die.odMm`; null for one it has not. */
export function fieldOf(path: string | undefined): Field | null {
  const plain = dottedPath(path)
  return Object.hasOwn(FIELD_OF_PATH, plain) ? (FIELD_OF_PATH[plain] ?? null) : null
}

const MAY_BE_EMPTY: ReadonlySet<Field> = new Set(['revision', 'finder'])

function problemOf(field: Field, text: string, unit: 'mm' | 'in'): string | null {
  if (text.trim() === '') return MAY_BE_EMPTY.has(field) ? null : words.setup.required
  if (LENGTHS.has(field) && parseLengthMm(text, unit) === null) return words.setup.notLength
  if (ANGLES.has(field) && parseNumber(text) === null) return words.setup.notNumber
  if (WHOLES.has(field) && !/^\d+$/.test(text.trim())) return words.setup.notWhole
  return null
}

const isCost = (field: Field): field is (typeof COSTS)[number] =>
  COSTS.includes(field as (typeof COSTS)[number])

const saysCosts = (texts: Texts) => COSTS.some((field) => texts[field].trim() !== '')

function costProblem(text: string): string | null {
  if (text.trim() === '') return words.setup.costsBoth
  return parseNumber(text) === null ? words.setup.notNumber : null
}

const isPlan = (field: Field): field is PlanField => PLAN_FIELDS.includes(field as PlanField)

const isOwn = (field: Field): field is OwnField => OWN_FIELDS.includes(field as OwnField)

/** What the form can see by itself is wrong; the daemon judges the rest. */
export function problemsOf(texts: Texts, unit: 'mm' | 'in'): Problems {
  const own = ownProblemsOf(texts)
  const cost = (field: Field) => (saysCosts(texts) ? costProblem(texts[field]) : null)
  const problems: Problems = planProblemsOf(texts, unit)
  for (const field of FIELDS) {
    if (isPlan(field) || (field === 'tolerance' && classOf(texts) !== null)) continue
    const problem = isOwn(field)
      ? own[field]
      : isCost(field)
        ? cost(field)
        : problemOf(field, texts[field], unit)
    if (problem) problems[field] = problem
  }
  return problems
}

/** Reads a form without problems. Lengths in mm, angles in degrees. */
export function readForm(
  texts: Texts,
  unit: 'mm' | 'in',
  sensor: Sensor,
): { setup: Setup; job: Job } {
  const mm = (field: Field) => parseLengthMm(texts[field], unit) ?? Number.NaN
  const number = (field: Field) => parseNumber(texts[field]) ?? Number.NaN
  const text = (field: Field) => texts[field].trim()
  return {
    setup: {
      station: text('station'),
      die: { name: text('dieName'), odMm: mm('dieOd'), clrMm: mm('clr') },
      tube: { odMm: mm('od'), wallMm: mm('wall'), ...readMetal(texts), lot: text('lot') },
      sensor,
    },
    job: {
      part: text('part'),
      ...(text('revision') !== '' && { drawingRevision: text('revision') }),
      ...(text('finder') !== '' && { angleFinder: text('finder') }),
      piece: number('piece'),
      bendNumber: number('bend'),
      wantedDeg: number('wanted'),
      toleranceDeg: number('tolerance'),
      operator: text('operator'),
      ...(saysCosts(texts) && {
        costs: { oneMoreGo: number('costGo'), scrap: number('costTube') },
      }),
      ...readPlan(texts, unit),
    },
  }
}

export const EMPTY: Texts = {
  ...NO_METAL,
  ...NO_PLAN,
  station: '',
  dieName: '',
  dieOd: '',
  clr: '',
  od: '',
  wall: '',
  material: '',
  lot: '',
  part: '',
  revision: '',
  finder: '',
  piece: '1',
  bend: '1',
  wanted: '',
  tolerance: '0.5',
  operator: '',
  costGo: '',
  costTube: '',
}

/** An invented shop that makes rails for workboats: offered on the built-in bench only. */
export const BOAT_RAIL: Texts = {
  ...NO_METAL,
  ...NO_PLAN,
  station: 'Bender 1',
  dieName: '38 rail',
  dieOd: '38.1 mm',
  clr: '114.3 mm',
  od: '38.1 mm',
  wall: '1.65 mm',
  material: '316l-annealed',
  lot: 'A',
  part: 'Boarding rail',
  revision: '',
  finder: '',
  piece: '1',
  bend: '1',
  wanted: '90',
  tolerance: '0.5',
  operator: 'Operator 1',
  costGo: '',
  costTube: '',
}

const shownCost = (cost: number | undefined) => (cost === undefined ? '' : String(cost))

/** Fills the form from what is in force. */
export function textsOf(setup: Setup | null, job: Job | null, show: (mm: number) => string): Texts {
  const texts = { ...EMPTY }
  if (setup) {
    const { station, die, tube } = setup
    Object.assign(texts, {
      station,
      dieName: die.name,
      dieOd: show(die.odMm),
      clr: show(die.clrMm),
      od: show(tube.odMm),
      wall: show(tube.wallMm),
      ...metalTexts(tube.material, tube.ownMaterial ?? null),
      lot: tube.lot,
    })
  }
  if (job)
    Object.assign(texts, {
      part: job.part,
      revision: job.drawingRevision ?? '',
      finder: job.angleFinder ?? '',
      piece: String(job.piece),
      bend: String(job.bendNumber),
      wanted: String(job.wantedDeg),
      tolerance: String(job.toleranceDeg),
      operator: job.operator,
      costGo: shownCost(job.costs?.oneMoreGo),
      costTube: shownCost(job.costs?.scrap),
      ...planTextsOf(job, show),
    })
  return texts
}
