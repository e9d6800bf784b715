/**
 * Bending moment of a round tube by strips, with a Swift hardening law. The learner of the daemon uses other
 * mathematics on purpose: a bench that shared its formulas could only agree with it.
 */
export interface TubeSpec {
  readonly odMm: number
  readonly wallMm: number
  /** Centreline radius of the die. */
  readonly clrMm: number
  readonly modulusMpa: number
  /** Swift: stress = strengthMpa · (preStrain + plastic strain) ^ hardeningExponent. */
  readonly strengthMpa: number
  readonly preStrain: number
  readonly hardeningExponent: number
}

/** 200 strips of equal angle hold the moment of every tube in the tests within a ten-thousandth. */
const STRIPS = 200
/** Halvings of the plastic strain: 2^−40 of a strain of 0.2 is far below any effect. */
const HALVINGS = 40

const MM_N_PER_NM = 1000

/** Second moment of area of the annulus, mm⁴. */
export function secondMomentMm4({ odMm, wallMm }: TubeSpec): number {
  return (Math.PI / 64) * (odMm ** 4 - (odMm - 2 * wallMm) ** 4)
}

/** Stress at which the first fibre yields, MPa. */
export function firstYieldMpa(tube: TubeSpec): number {
  return tube.strengthMpa * tube.preStrain ** tube.hardeningExponent
}

/** Moment at which the outermost fibre begins to yield, N·m. */
export function yieldMomentNm(tube: TubeSpec): number {
  return (firstYieldMpa(tube) * secondMomentMm4(tube)) / (tube.odMm / 2) / MM_N_PER_NM
}

/** Moment that holds the tube on the die's radius, N·m: that of a full bar less that of its bore. */
export function bendingMomentNm(tube: TubeSpec): number {
  const outerMm = tube.odMm / 2
  return (barMomentNmm(tube, outerMm) - barMomentNmm(tube, outerMm - tube.wallMm)) / MM_N_PER_NM
}

/** Strips of equal angle round the bar are thin where its width changes fast. */
function barMomentNmm(tube: TubeSpec, radiusMm: number): number {
  const stepRad = Math.PI / 2 / STRIPS
  let quarterMoment = 0
  for (let strip = 0; strip < STRIPS; strip++) {
    const angleRad = (strip + 0.5) * stepRad
    const depthMm = radiusMm * Math.sin(angleRad)
    const halfWidthMm = radiusMm * Math.cos(angleRad)
    const areaMm2 = halfWidthMm * halfWidthMm * stepRad
    quarterMoment += stressMpa(tube, depthMm / tube.clrMm) * depthMm * areaMm2
  }
  return 4 * quarterMoment
}

function stressMpa(tube: TubeSpec, strain: number): number {
  if (tube.modulusMpa * strain <= firstYieldMpa(tube)) return tube.modulusMpa * strain
  let plasticLow = 0
  let plasticHigh = strain
  for (let halving = 0; halving < HALVINGS; halving++) {
    const plastic = (plasticLow + plasticHigh) / 2
    const hardened = tube.strengthMpa * (tube.preStrain + plastic) ** tube.hardeningExponent
    if (tube.modulusMpa * (strain - plastic) > hardened) plasticLow = plastic
    else plasticHigh = plastic
  }
  return tube.modulusMpa * (strain - (plasticLow + plasticHigh) / 2)
}
