import { DomainError } from './errors.ts'
import type { Material } from './materials.ts'
import { checkLaw, type StressStrainLaw } from './section-law.ts'

/** A metal that is not in the table, as its owner knows it. */
export interface OwnMetal {
  /** For people, 1 to 60 characters; the key is made from it. */
  readonly name: string
  /** Stress–strain law, stresses in MPa. */
  readonly law: StressStrainLaw
  /** Relative standard deviation of the predicted slope, 0.02 to 1; 0.22 if not given. */
  readonly slopeSpread?: number
  /** Modulus on letting off over Young's, in (0, 1]; 0.9 if not given. */
  readonly unloadingFactor?: number
}

/** As for the soft metals of the table: nothing says that one's own figures are better. */
const SPREAD = 0.22
/** Between steel (0.87) and aluminium (0.92). */
const UNLOADING = 0.9

/** The strongest spring steels yield at about 1 % strain; beyond lies a modulus typed in GPa. */
const YIELD_STRAIN_MAX = 0.03

const NAME_MAX = 60

/** Lower case, hyphens between words; apart from the table's keys by its first word. */
function keyOf(name: string): string {
  const words = name
    .normalize('NFKD')
    .toLowerCase()
    .match(/[\p{Letter}\p{Number}]+/gu)
  if (!(words !== null && name.length <= NAME_MAX)) throw new DomainError('MATERIAL_NAME', { name })
  return ['own', ...words].join('-')
}

/**
 * A material of one's own, usable wherever one of the table is.
 *
 * @throws DomainError `MATERIAL_NAME`, `MODULUS`, `YIELD`, `YIELD_STRAIN`, `TANGENT_MODULUS`,
 *   `STRENGTH`, `EXPONENT`, `SLOPE_SPREAD`, `UNLOADING_FACTOR`: one sentence each.
 */
export function ownMaterial(metal: OwnMetal): Material {
  const { name, law, slopeSpread = SPREAD, unloadingFactor = UNLOADING } = metal
  const key = keyOf(name)
  checkLaw(law)
  const { yieldMpa, modulusMpa } = law
  if (!(yieldMpa / modulusMpa <= YIELD_STRAIN_MAX))
    throw new DomainError('YIELD_STRAIN', { yieldMpa, modulusMpa })
  if (!(slopeSpread >= 0.02 && slopeSpread <= 1))
    throw new DomainError('SLOPE_SPREAD', { slopeSpread })
  if (!(unloadingFactor > 0 && unloadingFactor <= 1))
    throw new DomainError('UNLOADING_FACTOR', { unloadingFactor })
  const given = 'given by its owner'
  const orJudgement = (value: number | undefined) =>
    value === undefined ? 'judgement: not given by its owner' : given
  return {
    key,
    name,
    law,
    unloadingFactor,
    slopeSpread,
    sources: {
      modulus: given,
      yield: given,
      hardening: given,
      unloading: orJudgement(metal.unloadingFactor),
      spread: orJudgement(metal.slopeSpread),
    },
  }
}

/**
 * A metal of which nothing is known: its bends alone will tell. Starts from the middle of the table
 * with the table's own spread, 0.030 ± 40 % of the bend on a die of three diameters.
 *
 * @throws DomainError `MATERIAL_NAME`
 */
export function unknownMetal(name: string): Material {
  const law = {
    kind: 'bilinear',
    modulusMpa: 150e3,
    yieldMpa: 360,
    tangentModulusMpa: 1200,
  } as const
  const told = 'not known: the middle of the table'
  return {
    ...ownMaterial({ name, law, slopeSpread: 0.4 }),
    sources: {
      modulus: told,
      yield: told,
      hardening: told,
      unloading: told,
      spread: 'standard deviation over the table',
    },
  }
}
