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
  /** Where its owner has the figures from, as a sentence. */
  readonly source?: string
}

/**
 * What its owner does not know. The spread is that of the soft metals of the table, since nothing
 * says that one's own figures are better; the modulus on letting off lies between steel (0.87) and
 * aluminium (0.92).
 */
export const JUDGED = { slopeSpread: 0.22, unloadingFactor: 0.9 } as const

/** The strongest spring steels yield at about 1 % strain; beyond lies a modulus typed in GPa. */
const YIELD_STRAIN_MAX = 0.03

const NAME_MAX = 60

/**
 * A name as it is compared: its words in lower case, hyphens between them.
 *
 * @throws DomainError `MATERIAL_NAME`
 */
export function plainName(name: string): string {
  const words = name
    .normalize('NFKD')
    .toLowerCase()
    .match(/[\p{Letter}\p{Number}]+/gu)
  if (!(words !== null && name.length <= NAME_MAX)) throw new DomainError('MATERIAL_NAME', { name })
  return words.join('-')
}

/** The figures of a law, in the order of their names in `StressStrainLaw`. */
const figuresOf = (law: StressStrainLaw): readonly number[] =>
  law.kind === 'bilinear'
    ? [law.modulusMpa, law.yieldMpa, law.tangentModulusMpa]
    : [law.modulusMpa, law.yieldMpa, law.strengthMpa, law.exponent]

/**
 * A material of one's own, usable wherever one of the table is.
 *
 * Its key holds the figures beside the name: what a bend teaches is how far it lies from what the
 * figures foretell, so other figures make another material, whatever its name.
 *
 * @throws DomainError `MATERIAL_NAME`, `MODULUS`, `YIELD`, `YIELD_STRAIN`, `TANGENT_MODULUS`,
 *   `STRENGTH`, `EXPONENT`, `SLOPE_SPREAD`, `UNLOADING_FACTOR`: one sentence each.
 */
export function ownMaterial(metal: OwnMetal): Material {
  const { name, law, source = 'given by its owner' } = metal
  const { slopeSpread, unloadingFactor } = { ...JUDGED, ...metal }
  const plain = plainName(name)
  checkLaw(law)
  const { yieldMpa, modulusMpa } = law
  if (!(yieldMpa / modulusMpa <= YIELD_STRAIN_MAX))
    throw new DomainError('YIELD_STRAIN', { yieldMpa, modulusMpa })
  if (!(slopeSpread >= 0.02 && slopeSpread <= 1))
    throw new DomainError('SLOPE_SPREAD', { slopeSpread })
  if (!(unloadingFactor > 0 && unloadingFactor <= 1))
    throw new DomainError('UNLOADING_FACTOR', { unloadingFactor })
  const orJudgement = (value: number | undefined) =>
    value === undefined ? 'judgement: not given by its owner' : source
  return {
    key: `own-${plain} ${[...figuresOf(law), unloadingFactor, slopeSpread].join('/')}`,
    name,
    law,
    unloadingFactor,
    slopeSpread,
    sources: {
      modulus: source,
      yield: source,
      hardening: source,
      unloading: orJudgement(metal.unloadingFactor),
      spread: orJudgement(metal.slopeSpread),
    },
  }
}
