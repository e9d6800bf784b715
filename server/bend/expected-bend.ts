import { loadedForDeg } from './aim.ts'
import { coefficientsOf, type SpringbackModel } from './springback.ts'
import { predictSpringback } from './springback-prediction.ts'

/** A bend as it is expected, taken to where the wanted angle is as likely left as not. Degrees. */
export interface ExpectedBend {
  readonly loadedDeg: number
  readonly springbackDeg: number
  /** 95 % interval of the springback of that very bend. */
  readonly lowDeg: number
  readonly highDeg: number
}

/** Null for a tube that takes no set, or would have to be taken past a full turn. @throws DomainError `WANTED_ANGLE` */
export function expectedBend(model: SpringbackModel, wantedDeg: number): ExpectedBend | null {
  const loadedDeg = loadedForDeg(coefficientsOf(model), wantedDeg)
  if (loadedDeg === null) return null
  const { springbackDeg, lowDeg, highDeg } = predictSpringback(model, loadedDeg)
  return { loadedDeg, springbackDeg, lowDeg, highDeg }
}
