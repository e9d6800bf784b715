import { checkCosts } from '../bend/cost-aim.ts'
import { DomainError } from '../bend/errors.ts'
import type { Job } from '../messages/setup.ts'
import { angleToleranceDeg } from '../quality/tolerance-class.ts'

/** As angles are recorded. */
const STEP_DEG = 1e-6

/** @throws DomainError `LOSS_RATIO`; `TOLERANCE_CLASS` for a tolerance that is not that of the class it is said to be of. */
export function checkJob({ costs, toleranceDeg, toleranceBy }: Job): void {
  if (costs) checkCosts(costs)
  if (toleranceBy === undefined) return
  const { toleranceClass, shorterLegMm } = toleranceBy
  const classDeg = angleToleranceDeg(toleranceClass, shorterLegMm)
  if (!(Math.abs(toleranceDeg - classDeg) <= STEP_DEG))
    throw new DomainError('TOLERANCE_CLASS', { toleranceDeg, classDeg, ...toleranceBy })
}
