import { DomainError } from './errors.ts'

/**
 * How a metal answers strain, the same in tension and compression. Stresses in MPa, strain as a
 * fraction.
 *
 *     bilinear   σ = E·ε up to the yield stress Y, then Y + Et·(ε − Y/E)
 *     power      σ = min(E·ε, max(Y, K·εⁿ)): elastic, a plateau at Y, then Hollomon's law
 */
export type StressStrainLaw =
  | {
      readonly kind: 'bilinear'
      readonly modulusMpa: number
      readonly yieldMpa: number
      readonly tangentModulusMpa: number
    }
  | {
      readonly kind: 'power'
      readonly modulusMpa: number
      readonly yieldMpa: number
      readonly strengthMpa: number
      readonly exponent: number
    }

/** @throws DomainError naming the constant that is out of its range. */
export function checkLaw(law: StressStrainLaw): void {
  const { modulusMpa, yieldMpa } = law
  if (!(modulusMpa > 0 && modulusMpa < Infinity)) throw new DomainError('MODULUS', { modulusMpa })
  if (!(yieldMpa > 0 && yieldMpa < Infinity)) throw new DomainError('YIELD', { yieldMpa })
  if (law.kind === 'bilinear') {
    const { tangentModulusMpa } = law
    if (!(tangentModulusMpa >= 0 && tangentModulusMpa < modulusMpa))
      throw new DomainError('TANGENT_MODULUS', { tangentModulusMpa })
    return
  }
  const { strengthMpa, exponent } = law
  if (!(strengthMpa > 0 && strengthMpa < Infinity))
    throw new DomainError('STRENGTH', { strengthMpa })
  if (!(exponent > 0 && exponent < 1)) throw new DomainError('EXPONENT', { exponent })
}

/** Stress in MPa at a strain of 0 or more. */
export function stressMpa(law: StressStrainLaw, strain: number): number {
  const elasticMpa = law.modulusMpa * strain
  if (law.kind === 'power')
    return Math.min(elasticMpa, Math.max(law.yieldMpa, law.strengthMpa * strain ** law.exponent))
  if (elasticMpa <= law.yieldMpa) return elasticMpa
  return law.yieldMpa + law.tangentModulusMpa * (strain - law.yieldMpa / law.modulusMpa)
}

/** Strains at which the law has a corner, ascending; the first is the end of the elastic range. */
export function cornerStrains(law: StressStrainLaw): readonly number[] {
  const yieldStrain = law.yieldMpa / law.modulusMpa
  if (law.kind === 'bilinear') return [yieldStrain]
  const { modulusMpa, yieldMpa, strengthMpa, exponent } = law
  if (strengthMpa * yieldStrain ** exponent <= yieldMpa)
    return [yieldStrain, (yieldMpa / strengthMpa) ** (1 / exponent)]
  // Hollomon's curve lies above Y where Hooke's line reaches it: the two meet a little later.
  return [(strengthMpa / modulusMpa) ** (1 / (1 - exponent))]
}
