type Numbers<Name extends string> = Readonly<Record<Name, number>>

/**
 * Every refusal of the domain, one line a code: what is wrong and what would be right. The code is
 * stable; the sentence is for people. Lengths mm, stresses MPa, angles degrees.
 */
const SENTENCES = {
  TUBE_OD: ({ odMm }: Numbers<'odMm'>) =>
    `The outside diameter must be more than 0 mm, got ${odMm}.`,
  TUBE_WALL: ({ odMm, wallMm }: Numbers<'odMm' | 'wallMm'>) =>
    `The wall must be more than 0 and at most ${odMm / 2} mm, half the diameter, got ${wallMm}.`,
  DIE_RADIUS: ({ odMm, clrMm }: Numbers<'odMm' | 'clrMm'>) =>
    `The centreline radius must be at least ${odMm / 2} mm, half the diameter, got ${clrMm}.`,
  MODULUS: ({ modulusMpa }: Numbers<'modulusMpa'>) =>
    `Young's modulus must be more than 0 MPa and finite, got ${modulusMpa}.`,
  YIELD: ({ yieldMpa }: Numbers<'yieldMpa'>) =>
    `The yield stress must be more than 0 MPa and finite, got ${yieldMpa}.`,
  TANGENT_MODULUS: ({ tangentModulusMpa }: Numbers<'tangentModulusMpa'>) =>
    `The tangent modulus must be from 0 MPa to below Young's, got ${tangentModulusMpa}.`,
  STRENGTH: ({ strengthMpa }: Numbers<'strengthMpa'>) =>
    `The strength coefficient K must be more than 0 MPa and finite, got ${strengthMpa}.`,
  EXPONENT: ({ exponent }: Numbers<'exponent'>) =>
    `The hardening exponent n must lie between 0 and 1, both excluded, got ${exponent}.`,
  UNLOADING_FACTOR: ({ unloadingFactor }: Numbers<'unloadingFactor'>) =>
    `The unloading modulus must be more than 0 and at most 1 of Young's, got ${unloadingFactor}.`,
  MATERIAL_UNKNOWN: ({ key, known }: Readonly<Record<'key' | 'known', string>>) =>
    `There is no material "${key}"; known are ${known}.`,
  MATERIAL_NAME: ({ name }: Readonly<Record<'name', string>>) =>
    `A material's name needs a letter or digit and at most 60 characters, got "${name}".`,
  MATERIAL_TAKEN: ({ name, key }: Readonly<Record<'name' | 'key', string>>) =>
    `"${name}" is in the table as ${key}: choose it there, or give a metal of your own another name.`,
  FIGURE_MISSING: ({ what }: Readonly<Record<'figure' | 'what', string>>) =>
    `A material of the shop's own needs ${what}.`,
  MODULUS_GPA: ({ modulusGpa }: Numbers<'modulusGpa'>) =>
    `Young's modulus must be from 1 to 1000 GPa (steel has about 205), got ${modulusGpa}.`,
  HARDENING_TWICE: ({ tangentModulusMpa }: Numbers<'tangentModulusMpa'>) =>
    `Give one hardening, the tangent modulus of ${tangentModulusMpa} MPa or K with its exponent n.`,
  SLOPE_SPREAD: ({ slopeSpread }: Numbers<'slopeSpread'>) =>
    `The spread of a material must lie between 0.02 and 1 of its springback, got ${slopeSpread}.`,
  YIELD_STRAIN: ({ yieldMpa, modulusMpa }: Numbers<'yieldMpa' | 'modulusMpa'>) =>
    `No metal yields at ${yieldMpa} MPa on a modulus of ${modulusMpa} MPa: check the units.`,
  LOADED_ANGLE: ({ loadedDeg }: Numbers<'loadedDeg'>) =>
    `A loaded angle must be more than 0° and at most 360°, got ${loadedDeg}.`,
  WANTED_ANGLE: ({ wantedDeg }: Numbers<'wantedDeg'>) =>
    `A wanted angle must be more than 0° and at most 360°, got ${wantedDeg}.`,
  MAXIMUM_ANGLE: ({ maximumDeg }: Numbers<'maximumDeg'>) =>
    `The largest angle of the bender must be more than 0° and at most 360°, got ${maximumDeg}.`,
  RELEASED_ANGLE: ({ releasedDeg }: Numbers<'releasedDeg'>) =>
    `A released angle must be a finite number, got ${releasedDeg}.`,
  SPRINGBACK: ({ loadedDeg, springbackDeg }: Numbers<'loadedDeg' | 'springbackDeg'>) =>
    `Springback must lie between 0° and the loaded ${loadedDeg}°, got ${springbackDeg}.`,
  SLOPE: ({ slope }: Numbers<'slope'>) =>
    `A springback slope must be at least 0 and below 1, got ${slope}.`,
  TOLERANCE: ({ toleranceDeg }: Numbers<'toleranceDeg'>) =>
    `A tolerance must be at least 0° and finite, got ${toleranceDeg}.`,
  TOLERANCE_CLASS: ({
    toleranceDeg,
    classDeg,
    toleranceClass,
    shorterLegMm,
  }: Numbers<'toleranceDeg' | 'classDeg' | 'shorterLegMm'> &
    Readonly<Record<'toleranceClass', string>>) =>
    `A leg of ${shorterLegMm} mm has ±${classDeg.toFixed(6)}° in class ${toleranceClass} of ISO 2768-1, not ±${toleranceDeg}°.`,
  LOSS_RATIO: ({ overToUnderLoss }: Numbers<'overToUnderLoss'>) =>
    `A lost tube must cost from 0.01 to 100 times what one more go costs, got ${overToUnderLoss}.`,
  COUNTS_PER_TURN: ({ countsPerTurn }: Numbers<'countsPerTurn'>) =>
    `Counts for one turn must be at least 1 and finite, got ${countsPerTurn}.`,
  STANDARD_UNCERTAINTY: ({ standardDeg }: Numbers<'standardDeg'>) =>
    `A standard uncertainty must be at least 0° and finite, got ${standardDeg}.`,
  BELIEF_PRIOR: ({ shape, rate }: Numbers<'shape' | 'rate'>) =>
    `A prior needs precisions from 0, a shape from -1 (${shape}) and a rate from 0 (${rate}).`,
  BELIEF_OBSERVATION: ({ y }: Numbers<'y'>) =>
    `An observation must consist of finite numbers, got ${y}.`,
  BELIEF_UNDETERMINED: ({ shape }: Numbers<'shape'>) =>
    `Too little is known for a line: it takes two abscissae and a spread (shape ${shape}).`,
}

export type DomainCode = keyof typeof SENTENCES

/** A code and the facts that its sentence quotes, checked as a pair. */
type Refusal = {
  [Code in DomainCode]: [code: Code, facts: Parameters<(typeof SENTENCES)[Code]>[0]]
}[DomainCode]

/**
 * A value outside the domain. `facts` holds what the sentence quotes, under the names of the
 * inputs.
 */
export class DomainError extends Error {
  override readonly name = 'DomainError'
  readonly code: DomainCode
  readonly facts: Readonly<Record<string, number | string>>
  constructor(...[code, facts]: Refusal) {
    // TypeScript forgets that the two belong together once they are apart.
    const sentence = SENTENCES[code] as (facts: Refusal[1]) => string
    super(sentence(facts))
    this.code = code
    this.facts = facts
  }
}
