import { DomainError } from './errors.ts'
import type { StressStrainLaw } from './section-law.ts'

/** A material before any bend of it was measured. */
export interface Material {
  /** Stable: records hold it. */
  readonly key: string
  readonly name: string
  readonly law: StressStrainLaw
  /** Modulus on letting off over Young's modulus, after the strain of a bend. */
  readonly unloadingFactor: number
  /** Relative standard deviation of the predicted slope, over lots and mills. */
  readonly slopeSpread: number
  /** Where each value comes from. */
  readonly sources: {
    readonly modulus: string
    readonly yield: string
    readonly hardening: string
    readonly unloading: string
    readonly spread: string
  }
}

const MEMORY = 'from memory'
const TANGENT = `tangent modulus at 5 to 15 % strain, ${MEMORY}`
const CALLISTER = `Callister, Materials Science and Engineering, K and n, ${MEMORY}`
const KALPAKJIAN = `Kalpakjian & Schmid, Manufacturing Engineering and Technology, ${MEMORY}`

/** Minimum values are floors, not means: mills run 10 to 25 % above. */
const floor = (standard: string, floorMpa: number) =>
  `${standard}, at least ${floorMpa} MPa; the mean of real lots ${MEMORY}`

/** Considère: at necking the strain is n and the true stress K·nⁿ, so K = UTS·(e/n)ⁿ. */
const considere = (utsMpa: number, exponent: number) =>
  `K by Considère's criterion from n ${exponent} and a tensile strength of ${utsMpa} MPa, ${MEMORY}`

/** What a metal keeps of its modulus on letting off, and on whose word. */
const STEEL = {
  modulusMpa: 205e3,
  unloadingFactor: 0.87,
  unloading: `middle of 0.85 to 0.90, Yoshida, Uemori & Fujiwara (2002), ${MEMORY}`,
}
const STAINLESS = { ...STEEL, modulusMpa: 193e3 }
const OTHER = { unloading: 'judgement: falls less than that of steel' }
const ALUMINIUM = { ...OTHER, modulusMpa: 68.9e3, unloadingFactor: 0.92 }
const TITANIUM = { ...OTHER, modulusMpa: 103e3, unloadingFactor: 0.9 }
const TITANIUM_3AL = { ...TITANIUM, modulusMpa: 105e3 }
const COPPER = { ...OTHER, modulusMpa: 117e3, unloadingFactor: 0.9 }

/**
 * How far a first lot may lie from the prediction. Three published section models were 14.2, 14.4
 * and 38.9 % off on round 6060-T6 tube (mean absolute; Science Progress 2021,
 * doi 10.1177/0036850420984303, abstract). The better two make a standard deviation of 18 %; soft
 * metal gets more, since published K and n of one grade differ by 30 to 70 % of the stress.
 */
const USUAL = {
  slopeSpread: 0.18,
  spread: 'published section models: 14 % off, doi 10.1177/0036850420984303, abstract',
}
const SOFT = {
  slopeSpread: 0.22,
  spread: 'judgement: more than published models, as K and n of soft metal differ widely',
}

interface Grade {
  readonly key: string
  readonly name: string
  readonly metal: { modulusMpa: number; unloadingFactor: number; unloading: string }
  readonly scatter: { slopeSpread: number; spread: string }
  readonly yieldMpa: number
  readonly yieldFrom: string
  /** Tangent modulus in MPa, or K in MPa and n. */
  readonly hardening: number | readonly [strengthMpa: number, exponent: number]
  readonly hardeningFrom: string
}

const GRADES: readonly Grade[] = [
  {
    key: '1020-dom',
    name: 'Mild steel 1020, DOM as drawn',
    metal: STEEL,
    scatter: USUAL,
    yieldMpa: 480,
    yieldFrom: floor('ASTM A513 type 5', 414),
    hardening: 1000,
    hardeningFrom: TANGENT,
  },
  {
    key: '1026-dom',
    name: 'Mild steel 1026, DOM as drawn',
    metal: STEEL,
    scatter: USUAL,
    yieldMpa: 550,
    yieldFrom: floor('ASTM A513 type 5', 517),
    hardening: 1000,
    hardeningFrom: TANGENT,
  },
  {
    key: '1020-erw',
    name: 'Mild steel 1020, ERW from hot-rolled strip, as welded',
    metal: STEEL,
    scatter: USUAL,
    yieldMpa: 310,
    yieldFrom: floor('ASTM A513 as welded', 262),
    hardening: 1500,
    hardeningFrom: TANGENT,
  },
  {
    key: '1010-erw',
    name: 'Mild steel 1010, ERW as welded',
    metal: STEEL,
    scatter: USUAL,
    yieldMpa: 280,
    yieldFrom: floor('ASTM A513 as welded', 221),
    hardening: 1500,
    hardeningFrom: TANGENT,
  },
  {
    key: '1020-normalised',
    name: 'Mild steel 1020, normalised',
    metal: STEEL,
    scatter: USUAL,
    yieldMpa: 260,
    yieldFrom: floor('ASTM A513 normalised', 221),
    hardening: [624, 0.2],
    hardeningFrom: considere(370, 0.2),
  },
  {
    key: '4130-normalised',
    name: 'Chromium-molybdenum steel 4130, normalised',
    metal: STEEL,
    scatter: USUAL,
    yieldMpa: 520,
    yieldFrom: floor('ASTM A519 normalised', 448),
    hardening: 1500,
    hardeningFrom: TANGENT,
  },
  {
    key: '304l-annealed',
    name: 'Stainless steel 304L, annealed',
    metal: STAINLESS,
    scatter: SOFT,
    yieldMpa: 240,
    yieldFrom: floor('ASTM A269 grade', 170),
    hardening: [1400, 0.44],
    hardeningFrom: `${CALLISTER}, for 304`,
  },
  {
    key: '316l-annealed',
    name: 'Stainless steel 316L, annealed',
    metal: STAINLESS,
    scatter: SOFT,
    yieldMpa: 240,
    yieldFrom: floor('ASTM A269 grade', 170),
    hardening: [1300, 0.4],
    hardeningFrom: `K and n ${MEMORY}`,
  },
  {
    key: '6061-t6',
    name: 'Aluminium 6061-T6',
    metal: ALUMINIUM,
    scatter: USUAL,
    yieldMpa: 280,
    yieldFrom: floor('ASTM B221', 241),
    hardening: [410, 0.05],
    hardeningFrom: KALPAKJIAN,
  },
  {
    key: '6061-t4',
    name: 'Aluminium 6061-T4',
    metal: ALUMINIUM,
    scatter: SOFT,
    yieldMpa: 145,
    yieldFrom: floor('ASTM B221', 110),
    hardening: 1100,
    hardeningFrom: TANGENT,
  },
  {
    key: '6063-t5',
    name: 'Aluminium 6063-T5',
    metal: ALUMINIUM,
    scatter: USUAL,
    yieldMpa: 145,
    yieldFrom: floor('ASTM B221', 110),
    hardening: [259, 0.1],
    hardeningFrom: considere(186, 0.1),
  },
  {
    key: 'ti-grade-2',
    name: 'Titanium grade 2',
    metal: TITANIUM,
    scatter: USUAL,
    yieldMpa: 345,
    yieldFrom: floor('ASTM B338', 276),
    hardening: 1200,
    hardeningFrom: TANGENT,
  },
  {
    key: 'ti-grade-9',
    name: 'Titanium grade 9, annealed',
    metal: TITANIUM_3AL,
    scatter: USUAL,
    yieldMpa: 560,
    yieldFrom: floor('ASTM B338', 483),
    hardening: 1200,
    hardeningFrom: TANGENT,
  },
  {
    key: 'copper-soft',
    name: 'Copper C12200, soft',
    metal: COPPER,
    scatter: SOFT,
    yieldMpa: 69,
    yieldFrom: floor('ASTM B75 temper O60', 62),
    hardening: [530, 0.44],
    hardeningFrom: CALLISTER,
  },
  {
    key: 'copper-half-hard',
    name: 'Copper C12200, half-hard',
    metal: COPPER,
    scatter: USUAL,
    yieldMpa: 240,
    yieldFrom: floor('ASTM B75 temper H55', 205),
    hardening: 400,
    hardeningFrom: TANGENT,
  },
]

function lawOf({ metal: { modulusMpa }, yieldMpa, hardening }: Grade): StressStrainLaw {
  if (typeof hardening === 'number')
    return { kind: 'bilinear', modulusMpa, yieldMpa, tangentModulusMpa: hardening }
  const [strengthMpa, exponent] = hardening
  return { kind: 'power', modulusMpa, yieldMpa, strengthMpa, exponent }
}

/** The grades that a small shop bends. */
export const MATERIALS: readonly Material[] = GRADES.map((grade) => ({
  key: grade.key,
  name: grade.name,
  law: lawOf(grade),
  unloadingFactor: grade.metal.unloadingFactor,
  slopeSpread: grade.scatter.slopeSpread,
  sources: {
    modulus: `handbook value, ${MEMORY}`,
    yield: grade.yieldFrom,
    hardening: grade.hardeningFrom,
    unloading: grade.metal.unloading,
    spread: grade.scatter.spread,
  },
}))

/** @throws DomainError `MATERIAL_UNKNOWN`, listing the keys that are known. */
export function materialOf(key: string): Material {
  const material = MATERIALS.find((candidate) => candidate.key === key)
  if (material) return material
  throw new DomainError('MATERIAL_UNKNOWN', { key, known: MATERIALS.map((m) => m.key).join(', ') })
}
