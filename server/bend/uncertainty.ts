import { DomainError } from './errors.ts'

/** One line of an uncertainty budget: a standard uncertainty in degrees. */
interface Component {
  readonly name: string
  readonly standardDeg: number
}

export interface Budget {
  readonly components: readonly Component[]
  /** Root sum of squares, degrees. */
  readonly standardDeg: number
  /** Twice that: k = 2, about 95 %. */
  readonly expandedDeg: number
}

/** What the budget is drawn up from. */
export interface Readout {
  /** Counts of the encoder for one turn of the die, after quadrature; 1 or more. */
  readonly countsPerTurn: number
  /** How well the datum repeats when it is taken again on a seated tube, one sd, degrees. */
  readonly datumSdDeg?: number
}

/**
 * How well slack is taken up by feel: about 0.05°, until a shop has measured its own. Judgement.
 */
const DATUM_SD_DEG = 0.05

function budgetOf(components: readonly Component[]): Budget {
  const standardDeg = Math.sqrt(components.reduce((sum, c) => sum + c.standardDeg ** 2, 0))
  return { components, standardDeg, expandedDeg: 2 * standardDeg }
}

function checkStandard(standardDeg: number): void {
  if (!(standardDeg >= 0 && standardDeg < Infinity))
    throw new DomainError('STANDARD_UNCERTAINTY', { standardDeg })
}

/**
 * Uncertainty of a live angle: a reading less the datum, so the encoder's step comes in twice.
 *
 * After JCGM 100 (GUM): a step of full width a is a rectangle, a/√12; independent parts add as
 * squares. Not in it yet, and said wherever it is shown: scale and eccentricity of the encoder, the
 * reference it was checked against, play between tube and die. They need a calibration.
 *
 * @throws DomainError `COUNTS_PER_TURN`, `STANDARD_UNCERTAINTY`
 */
export function liveBudget({ countsPerTurn, datumSdDeg = DATUM_SD_DEG }: Readout): Budget {
  if (!(countsPerTurn >= 1 && countsPerTurn < Infinity))
    throw new DomainError('COUNTS_PER_TURN', { countsPerTurn })
  checkStandard(datumSdDeg)
  const stepDeg = 360 / countsPerTurn / Math.sqrt(12)
  return budgetOf([
    { name: 'readout step', standardDeg: stepDeg },
    { name: 'readout step at the datum', standardDeg: stepDeg },
    { name: 'repeat of the datum', standardDeg: datumSdDeg },
  ])
}

/**
 * Uncertainty of a released angle: that of a live one, and the standard error of its plateau.
 *
 * @throws DomainError `COUNTS_PER_TURN`, `STANDARD_UNCERTAINTY`
 */
export function releasedBudget(readout: Readout, plateauSeDeg: number): Budget {
  checkStandard(plateauSeDeg)
  const plateau = { name: 'standard error of the plateau', standardDeg: plateauSeDeg }
  return budgetOf([...liveBudget(readout).components, plateau])
}
