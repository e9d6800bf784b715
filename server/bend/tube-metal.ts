import { DomainError } from './errors.ts'
import { MATERIALS, type Material, materialOf } from './materials.ts'
import { JUDGED, ownMaterial, plainName } from './own-material.ts'
import type { StressStrainLaw } from './section-law.ts'

type Judged = keyof typeof JUDGED

/** What a set-up says of a metal of the shop's own, in the units that people write. */
export interface OwnFigures {
  /** `bends`: nothing was known; its bends alone tell. */
  readonly knownFrom: 'figures' | 'bends'
  /** Where its owner has the figures from. */
  readonly source?: string
  readonly modulusGpa?: number
  readonly yieldMpa?: number
  readonly tangentModulusMpa?: number
  readonly strengthMpa?: number
  readonly exponent?: number
  readonly unloadingFactor?: number
  readonly slopeSpread?: number
  /** Which of the figures its owner left to judgement. */
  readonly judged?: Judged[]
}

/** A tube, as far as its metal is concerned. */
export interface TubeMetal {
  /** A key of the table; the shop's own name where the figures stand beside it. */
  readonly material: string
  readonly ownMaterial?: OwnFigures
}

/**
 * Where a metal starts of which nothing is known: the middle of the table with the table's own
 * spread, 0.030 ± 40 % of the bend on a die of three diameters. Stored set-ups hold these figures:
 * another middle would be another material to what they have taught.
 */
const MIDDLE = {
  modulusGpa: 150,
  yieldMpa: 360,
  tangentModulusMpa: 1200,
  unloadingFactor: 0.9,
  slopeSpread: 0.4,
} as const
const NOT_KNOWN = 'not known: the middle of the table'

/** No metal lies outside; a modulus that does was typed in another unit. */
const MODULUS_GPA = { min: 1, max: 1000 }
const MPA_PER_GPA = 1000

const missing = (figure: keyof OwnFigures, what: string) =>
  new DomainError('FIGURE_MISSING', { figure, what })

const isOneGiven = (...figures: readonly (number | undefined)[]) =>
  figures.some((figure) => figure !== undefined)

function hardeningOf({ tangentModulusMpa, strengthMpa, exponent }: OwnFigures) {
  if (!isOneGiven(strengthMpa, exponent)) {
    if (tangentModulusMpa === undefined)
      throw missing(
        'tangentModulusMpa',
        'its hardening: a tangent modulus (0 for none), or K and n',
      )
    return { kind: 'bilinear', tangentModulusMpa } as const
  }
  if (tangentModulusMpa !== undefined)
    throw new DomainError('HARDENING_TWICE', { tangentModulusMpa })
  if (strengthMpa === undefined) throw missing('strengthMpa', 'K in MPa beside its exponent n')
  if (exponent === undefined) throw missing('exponent', 'an exponent n beside its K')
  return { kind: 'power', strengthMpa, exponent } as const
}

function lawFrom(own: OwnFigures): StressStrainLaw {
  const { modulusGpa, yieldMpa } = own
  if (modulusGpa === undefined) throw missing('modulusGpa', "Young's modulus in GPa")
  if (!(modulusGpa >= MODULUS_GPA.min && modulusGpa <= MODULUS_GPA.max))
    throw new DomainError('MODULUS_GPA', { modulusGpa })
  if (yieldMpa === undefined) throw missing('yieldMpa', 'a yield stress in MPa')
  return { modulusMpa: modulusGpa * MPA_PER_GPA, yieldMpa, ...hardeningOf(own) }
}

/** The table keeps its names: nobody is to wonder later which of two metals a record means. */
function refuseTaken(name: string): void {
  const plain = plainName(name)
  const row = MATERIALS.find((one) => one.key === plain || plainName(one.name) === plain)
  if (row !== undefined) throw new DomainError('MATERIAL_TAKEN', { name, key: row.key })
}

/** All that was left out filled in. */
type WholeFigures = OwnFigures & Readonly<Record<Judged, number>>

function fromBends(own: OwnFigures): WholeFigures {
  const { tangentModulusMpa, ...middle } = MIDDLE
  const isHardeningGiven = isOneGiven(own.tangentModulusMpa, own.strengthMpa, own.exponent)
  return { ...middle, ...(isHardeningGiven ? {} : { tangentModulusMpa }), ...own }
}

function fromFigures(own: OwnFigures): WholeFigures {
  const names = Object.keys(JUDGED) as Judged[]
  const judged = names.filter((name) => own[name] === undefined || own.judged?.includes(name))
  const { judged: _said, ...given } = own
  return { ...JUDGED, ...given, ...(judged.length > 0 ? { judged } : {}) }
}

/**
 * The same figures with all that was left out filled in: as a set-up is stored, so that a record
 * says everything by itself, whatever later versions judge. Filling in twice changes nothing.
 */
export const wholeFigures = (own: OwnFigures): WholeFigures =>
  own.knownFrom === 'bends' ? fromBends(own) : fromFigures(own)

/**
 * What a tube is made of, of the table or the shop's own.
 *
 * @throws DomainError `MATERIAL_UNKNOWN`, `MATERIAL_TAKEN`, `MODULUS_GPA`, `HARDENING_TWICE`,
 *   `FIGURE_MISSING` with the figure's name, and those of `ownMaterial`.
 */
export function materialOfTube({ material: name, ownMaterial: own }: TubeMetal): Material {
  if (own === undefined) return materialOf(name)
  refuseTaken(name)
  const { source, slopeSpread, unloadingFactor, judged = [], ...figures } = wholeFigures(own)
  const isKnown = own.knownFrom === 'figures'
  if (isKnown && (source ?? '').trim() === '')
    throw missing('source', 'a source of its figures, such as "certificate of the mill"')
  const metal = { name, law: lawFrom(figures), source: isKnown && source ? source : NOT_KNOWN }
  const { sources, ...material } = ownMaterial({
    ...metal,
    ...JUDGED,
    slopeSpread,
    unloadingFactor,
  })
  const judgement = 'judgement: not given by its owner'
  return {
    ...material,
    sources: {
      ...sources,
      ...(judged.includes('unloadingFactor') ? { unloading: judgement } : {}),
      ...(judged.includes('slopeSpread') ? { spread: judgement } : {}),
      ...(isKnown ? {} : { spread: 'standard deviation over the table' }),
    },
  }
}
