import { DomainError } from '../../server/bend/errors.ts'
import { observe } from '../../server/bend/normal-inverse-gamma.ts'
import { rowAt, type SpringbackModel } from '../../server/bend/springback.ts'

/** A bend of one set-up: one tube, its last go. Degrees. */
export interface LearnedBend {
  readonly loadedDeg: number
  readonly springbackDeg: number
}

/**
 * One set-up by itself, every bend counted in full: what the shop's memory must come to where nothing is shared
 * and nothing set apart.
 *
 * @throws DomainError `SPRINGBACK` for what no bend can be.
 */
export function learn(
  model: SpringbackModel,
  { loadedDeg, springbackDeg }: LearnedBend,
): SpringbackModel {
  if (!(springbackDeg > 0 && springbackDeg < loadedDeg))
    throw new DomainError('SPRINGBACK', { loadedDeg, springbackDeg })
  const belief = observe(model.belief, rowAt(loadedDeg), springbackDeg)
  return { belief, bends: model.bends + 1 }
}

export const modelFrom = (prior: SpringbackModel, bends: Iterable<LearnedBend>): SpringbackModel =>
  [...bends].reduce(learn, prior)
