import type { OwnMaterial } from '../../../server/messages/material.ts'
import type { Tube } from '../../../server/messages/setup.ts'
import { words } from '../../words/en.ts'
import { parseNumber } from '../../words/parse-length.ts'
import { parseStress } from '../../words/parse-stress.ts'

/** What the form holds of a metal of the shop's own: the text as typed, one for each field. */
export const OWN_FIELDS = [
  'ownName',
  'modulus',
  'yield',
  'hardening',
  'tangent',
  'strength',
  'exponent',
  'unloading',
  'spread',
  'source',
] as const
export type OwnField = (typeof OWN_FIELDS)[number]
export type OwnTexts = Record<OwnField, string>

/** What is chosen as the material beside a key of the table. */
export const OWN = 'own'
export const BENDS = 'bends'

/** The daemon's own names for these fields. */
export const OWN_PATHS: Readonly<Record<string, OwnField>> = {
  modulusGpa: 'modulus',
  yieldMpa: 'yield',
  tangentModulusMpa: 'tangent',
  strengthMpa: 'strength',
  exponent: 'exponent',
  unloadingFactor: 'unloading',
  slopeSpread: 'spread',
  source: 'source',
}

export const NO_METAL: OwnTexts = {
  ownName: '',
  modulus: '',
  yield: '',
  hardening: 'tangent',
  tangent: '',
  strength: '',
  exponent: '',
  unloading: '',
  spread: '',
  source: '',
}

type Held = OwnTexts & { readonly material: string }

/** Which fields are on show for what is chosen. */
export function shownFields({ material, hardening }: Held): readonly OwnField[] {
  if (material === BENDS) return ['ownName']
  if (material !== OWN) return []
  const beyond =
    hardening === 'power' ? (['strength', 'exponent'] as const) : (['tangent'] as const)
  return ['ownName', 'modulus', 'yield', 'hardening', ...beyond, 'unloading', 'spread', 'source']
}

const STRESSES = new Set<OwnField>(['modulus', 'yield', 'tangent', 'strength'])
const NUMBERS = new Set<OwnField>(['exponent', 'unloading', 'spread'])
const OPTIONAL = new Set<OwnField>(['unloading', 'spread'])

function problemOf(field: OwnField, text: string): string | null {
  if (text.trim() === '') return OPTIONAL.has(field) ? null : words.setup.required
  if (STRESSES.has(field) && parseStress(text, 'MPa') === null) return words.material.notStress
  if (NUMBERS.has(field) && parseNumber(text) === null) return words.setup.notNumber
  return null
}

/** What the form can see by itself is wrong; the daemon judges the rest. */
export function ownProblemsOf(texts: Held): Partial<Record<OwnField, string>> {
  const found = shownFields(texts).map((field) => [field, problemOf(field, texts[field])] as const)
  return Object.fromEntries(found.filter(([, problem]) => problem !== null))
}

const hundredths = (percent: number) => Math.round(percent * 1e4) / 1e6

function figuresIn(texts: OwnTexts): OwnMaterial {
  const gpa = (text: string) => parseStress(text, 'GPa') ?? Number.NaN
  const mpa = (text: string) => parseStress(text, 'MPa') ?? Number.NaN
  const number = (text: string) => parseNumber(text) ?? Number.NaN
  const isGiven = (text: string) => text.trim() !== ''
  return {
    knownFrom: 'figures',
    source: texts.source.trim(),
    modulusGpa: gpa(texts.modulus),
    yieldMpa: mpa(texts.yield),
    ...(texts.hardening === 'power'
      ? { strengthMpa: mpa(texts.strength), exponent: number(texts.exponent) }
      : { tangentModulusMpa: mpa(texts.tangent) }),
    ...(isGiven(texts.unloading) ? { unloadingFactor: number(texts.unloading) } : {}),
    ...(isGiven(texts.spread) ? { slopeSpread: hundredths(number(texts.spread)) } : {}),
  }
}

/** Reads what the tube is made of; the form must be without problems. */
export function readMetal(texts: Held): Pick<Tube, 'material' | 'ownMaterial'> {
  const material = texts.ownName.trim()
  if (texts.material === BENDS) return { material, ownMaterial: { knownFrom: 'bends' } }
  if (texts.material === OWN) return { material, ownMaterial: figuresIn(texts) }
  return { material: texts.material.trim() }
}

const shown = (value: number | undefined) => (value === undefined ? '' : String(value))

/** The texts of a metal as a set-up holds it. What its owner left to judgement stays empty. */
export function metalTexts(
  material: string,
  own: OwnMaterial | null,
): OwnTexts & { material: string } {
  if (own === null) return { ...NO_METAL, material }
  if (own.knownFrom === 'bends') return { ...NO_METAL, material: BENDS, ownName: material }
  const { judged = [], slopeSpread, unloadingFactor } = own
  const spread = slopeSpread === undefined ? undefined : Math.round(slopeSpread * 1e6) / 1e4
  return {
    material: OWN,
    ownName: material,
    modulus: shown(own.modulusGpa),
    yield: shown(own.yieldMpa),
    hardening: own.exponent === undefined ? 'tangent' : 'power',
    tangent: shown(own.tangentModulusMpa),
    strength: shown(own.strengthMpa),
    exponent: shown(own.exponent),
    unloading: judged.includes('unloadingFactor') ? '' : shown(unloadingFactor),
    spread: judged.includes('slopeSpread') ? '' : shown(spread),
    source: own.source ?? '',
  }
}
