import { type Material, materialOf } from '../bend/materials.ts'
import { ownMaterial } from '../bend/own-material.ts'
import type { StressStrainLaw } from '../bend/section-law.ts'
import { BadInput } from './command.ts'

/** The flags that say what the tube is made of. */
export interface MetalOptions {
  readonly material?: string
  readonly yield?: number
  readonly modulus?: number
  readonly tangentModulus?: number
  readonly strength?: number
  readonly exponent?: number
  readonly spread?: number
}

/**
 * A material foretells a first bend, with its spread. A bare law is section mechanics and no more.
 */
export type Metal =
  | { readonly kind: 'material'; readonly material: Material }
  | { readonly kind: 'law'; readonly law: StressStrainLaw }

const MPA_PER_GPA = 1000

/** No metal lies outside; a value that does was typed in another unit. */
const MODULUS_GPA = { min: 1, max: 1000 }
const YIELD_MPA_MAX = 5000
const STRENGTH_MPA_MAX = 10_000
const SPREAD_PERCENT = { min: 2, max: 100 }

const FLAG_OF = {
  yield: '--yield',
  modulus: '--modulus',
  tangentModulus: '--tangent-modulus',
  strength: '--strength',
  exponent: '--exponent',
  spread: '--spread',
} as const

/** Hardening beyond yield, from whichever flags were given; none is perfectly plastic. */
function hardeningOf(options: MetalOptions, modulusGpa: number) {
  const { tangentModulus: tangentGpa, strength: strengthMpa, exponent } = options
  if (strengthMpa === undefined && exponent === undefined) {
    const tangent = tangentGpa ?? 0
    if (!(tangent >= 0 && tangent < modulusGpa))
      throw new BadInput(`--tangent-modulus takes GPa from 0 to below --modulus, got ${tangent}.`)
    return { kind: 'bilinear', tangentModulusMpa: tangent * MPA_PER_GPA } as const
  }
  if (strengthMpa === undefined)
    throw new BadInput('--strength is missing: --exponent N needs --strength MPA beside it.')
  if (exponent === undefined)
    throw new BadInput('--exponent is missing: --strength MPA needs --exponent N beside it.')
  if (tangentGpa !== undefined)
    throw new BadInput('--tangent-modulus does not go with --strength: give one hardening.')
  if (!(strengthMpa > 0 && strengthMpa <= STRENGTH_MPA_MAX))
    throw new BadInput(`--strength takes K in MPa above 0 and up to 10000, got ${strengthMpa}.`)
  if (!(exponent > 0 && exponent < 1))
    throw new BadInput(`--exponent takes n between 0 and 1, both excluded, got ${exponent}.`)
  return { kind: 'power', strengthMpa, exponent } as const
}

function lawFrom(options: MetalOptions): StressStrainLaw {
  const { yield: yieldMpa, modulus: modulusGpa } = options
  if (yieldMpa === undefined)
    throw new BadInput('--yield is missing: give --material KEY, or --yield MPA and --modulus GPA.')
  if (modulusGpa === undefined)
    throw new BadInput('--modulus is missing: --yield MPA needs --modulus GPA beside it.')
  if (!(modulusGpa >= MODULUS_GPA.min && modulusGpa <= MODULUS_GPA.max))
    throw new BadInput(`--modulus takes GPa from 1 to 1000 (steel has 205), got ${modulusGpa}.`)
  if (!(yieldMpa > 0 && yieldMpa <= YIELD_MPA_MAX))
    throw new BadInput(
      `--yield takes MPa above 0 and up to 5000 (mild steel has 300), got ${yieldMpa}.`,
    )
  return { modulusMpa: modulusGpa * MPA_PER_GPA, yieldMpa, ...hardeningOf(options, modulusGpa) }
}

/** @throws BadInput naming the flag; DomainError for a key that is not in the table. */
export function metalFrom(options: MetalOptions): Metal {
  const { material, spread } = options
  if (material !== undefined) {
    for (const [name, flag] of Object.entries(FLAG_OF))
      if (options[name as keyof typeof FLAG_OF] !== undefined)
        throw new BadInput(`${flag} does not go with --material, which brings its own.`)
    return { kind: 'material', material: materialOf(material) }
  }
  const law = lawFrom(options)
  if (spread === undefined) return { kind: 'law', law }
  if (!(spread >= SPREAD_PERCENT.min && spread <= SPREAD_PERCENT.max))
    throw new BadInput(`--spread takes percent of the springback from 2 to 100, got ${spread}.`)
  const name = 'on the command line'
  return { kind: 'material', material: ownMaterial({ name, law, slopeSpread: spread / 100 }) }
}
