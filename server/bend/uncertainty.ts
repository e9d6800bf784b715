import { budgetOf, stepStandard } from '../quality/uncertainty-budget.ts'
import { DomainError } from './errors.ts'

/** One line of an uncertainty budget: a standard uncertainty in degrees. */
interface Component {
  readonly name: string
  readonly standardDeg: number
  /** How well it is known itself; Infinity for a judgement or a long run. */
  readonly degreesOfFreedom: number
}

export interface Budget {
  readonly components: readonly Component[]
  /** Root sum of squares, degrees. */
  readonly standardDeg: number
  /** Student's t at the effective degrees of freedom; 2 where nothing rests on few readings. */
  readonly coverage: number
  /** Coverage factor times the standard uncertainty: holds 95.45 %. */
  readonly expandedDeg: number
}

/** What a calibration adds to the uncertainty of an angle, degrees. */
export interface CalibrationShare {
  /** Of the curve at that angle from the datum. */
  readonly fitStandardDeg: number
  /** Points to spare in the fit; 0 when its uncertainty comes from the gauge alone. */
  readonly degreesOfFreedom: number
  /** Standard uncertainty of the gauge: it does not average out over the points. */
  readonly gaugeStandardDeg: number
  /** Scatter of the readout standing still, one sd. */
  readonly repeatSdDeg: number
}

/** What the budget is drawn up from. */
export interface Readout {
  /** Counts of the encoder for one turn of the die, after quadrature; 1 or more. */
  readonly countsPerTurn: number
  /** How well the datum repeats when it is taken again on a seated tube, one sd, degrees. */
  readonly datumSdDeg?: number
  /** Null: not calibrated. */
  readonly calibration?: CalibrationShare | null
}

/**
 * How well slack is taken up by feel: about 0.05°, until a shop has measured its own. Judgement.
 */
const DATUM_SD_DEG = 0.05

const sure = (name: string, standardDeg: number): Component => ({
  name,
  standardDeg,
  degreesOfFreedom: Infinity,
})

function budgetOfDegrees(components: readonly Component[]): Budget {
  for (const { standardDeg } of components) checkStandard(standardDeg)
  const { standard, coverage, expanded } = budgetOf(
    components.map(({ standardDeg, ...rest }) => ({ ...rest, standard: standardDeg })),
  )
  return { components, standardDeg: standard, coverage, expandedDeg: expanded }
}

function checkStandard(standardDeg: number): void {
  if (!(standardDeg >= 0 && standardDeg < Infinity))
    throw new DomainError('STANDARD_UNCERTAINTY', { standardDeg })
}

const calibrationLines = (share: CalibrationShare): readonly Component[] => [
  {
    name: 'calibration curve',
    standardDeg: share.fitStandardDeg,
    degreesOfFreedom: share.degreesOfFreedom >= 1 ? share.degreesOfFreedom : Infinity,
  },
  sure('gauge', share.gaugeStandardDeg),
  sure('repeat of the readout', share.repeatSdDeg),
]

/**
 * Uncertainty of a live angle: a reading less the datum, so the encoder's step comes in twice.
 *
 * After JCGM 100 (GUM): a step of full width a is a rectangle, a/√12; independent parts add as squares. Without
 * a calibration these are not in it: scale and eccentricity of the encoder, and the reference it was checked
 * against. Play between tube and die never is.
 *
 * @throws DomainError `COUNTS_PER_TURN`, `STANDARD_UNCERTAINTY`
 */
export function liveBudget(readout: Readout): Budget {
  const { countsPerTurn, datumSdDeg = DATUM_SD_DEG, calibration = null } = readout
  if (!(countsPerTurn >= 1 && countsPerTurn < Infinity))
    throw new DomainError('COUNTS_PER_TURN', { countsPerTurn })
  const stepDeg = stepStandard(360 / countsPerTurn)
  return budgetOfDegrees([
    sure('readout step', stepDeg),
    sure('readout step at the datum', stepDeg),
    sure('repeat of the datum', datumSdDeg),
    ...(calibration === null ? [] : calibrationLines(calibration)),
  ])
}

/**
 * Uncertainty of a released angle: that of a live one, and the standard error of its plateau.
 *
 * @throws DomainError `COUNTS_PER_TURN`, `STANDARD_UNCERTAINTY`
 */
export function releasedBudget(readout: Readout, plateauSeDeg: number): Budget {
  const plateau = sure('standard error of the plateau', plateauSeDeg)
  return budgetOfDegrees([...liveBudget(readout).components, plateau])
}
