import { NO_SET_SLOPE, type NoAim } from '../bend/aim.ts'
import { aimUnderCosts, type CostAim, USUAL_COSTS } from '../bend/cost-aim.ts'
import { mayTeach } from '../bend/learnable.ts'
import { secondGoDeg } from '../bend/second-go.ts'
import type { SetupKnowledge } from '../bend/shop-memory.ts'
import { coefficientsOf, type SpringbackModel } from '../bend/springback.ts'
import { predictSpringback } from '../bend/springback-prediction.ts'
import type { NewBend, Prediction } from '../messages/bends.ts'
import type { Aim } from '../messages/live.ts'
import type { Job } from '../messages/setup.ts'

type Measured = Pick<NewBend, 'peakDeg' | 'releasedDeg' | 'verdict' | 'releasedFrom'>

/** Whether a bend teaches, in the words of the record. */
export function lessonFrom(bend: Measured): Pick<NewBend, 'learned' | 'notLearnedWhy'> {
  const lesson = mayTeach(bend)
  return lesson.learn
    ? { learned: 'yes', notLearnedWhy: null }
    : { learned: 'no', notLearnedWhy: lesson.why }
}

/** What was expected of a bend taken to `peakDeg`, before it was let off. */
export function predictionAt(model: SpringbackModel, peakDeg: number): Prediction {
  const { springbackDeg, lowDeg, highDeg, degreesOfFreedom } = predictSpringback(model, peakDeg)
  const [springback, low, high, freedom] = [springbackDeg, lowDeg, highDeg, degreesOfFreedom].map(
    millionths,
  )
  return {
    springbackDeg: springback ?? 0,
    lowDeg: low ?? 0,
    highDeg: high ?? 0,
    degreesOfFreedom: freedom ?? 0,
    bendsLearned: model.bends,
  }
}

/** Records hold millionths; so does all that is shown and sent to the chain. */
export const millionths = (value: number): number => Math.round(value * 1e6) / 1e6

/**
 * The aim of a first go under the two costs of the job, rounded as it is sent to the chain.
 *
 * @param stopSdDeg of where the operator stops about the mark, degrees.
 * @throws DomainError `LOSS_RATIO`
 */
export function firstAim(
  { model, bendsMade, lotBends, materialBends }: Omit<SetupKnowledge, 'drift'>,
  {
    wantedDeg,
    toleranceDeg,
    costs = USUAL_COSTS,
  }: Pick<Job, 'wantedDeg' | 'toleranceDeg' | 'costs'>,
  stopSdDeg: number,
): CostAim | NoAim {
  const hands = { bendsMade, lotBends, materialBends, stopSdDeg }
  const aim = aimUnderCosts(model, { wantedDeg, toleranceDeg, costs, ...hands })
  return aim.commandedDeg === null ? aim : { ...aim, commandedDeg: millionths(aim.commandedDeg) }
}

/** What pages are told of a first aim. */
export const aimShown = (aim: CostAim): Aim => {
  const { commandedDeg, springbackDeg, lowDeg, highDeg, bendsLearned, why } = aim
  return { commandedDeg, springbackDeg, lowDeg, highDeg, bendsLearned, why }
}

/**
 * Where to take this very tube again; null when it is over or there is nothing to gain, and for a tube that
 * takes no set: where no first angle is given, no second one is.
 */
export function againFrom(
  model: SpringbackModel,
  go: { peakDeg: number; releasedDeg: number },
  wantedDeg: number,
): number | null {
  const { slope } = coefficientsOf(model)
  if (!(slope < NO_SET_SLOPE)) return null
  const againDeg = secondGoDeg(go, wantedDeg, slope)
  return againDeg === null ? null : millionths(againDeg)
}

/**
 * How the next aim changed because of a bend, as one plain sentence. In springback, not in where to stop:
 * the next bend may be of another angle, and how far short it is aimed is another thing.
 */
export function changeSentence(
  before: Pick<CostAim, 'commandedDeg' | 'allowedDeg'> | NoAim | null,
  after: Pick<CostAim, 'commandedDeg' | 'allowedDeg'> | NoAim | null,
  wantedDeg: number,
): string | null {
  if (before?.commandedDeg == null || after?.commandedDeg == null) return null
  const stepDeg = after.allowedDeg - before.allowedDeg
  const now = `${after.allowedDeg.toFixed(1)}° for ${wantedDeg}°`
  if (Math.abs(stepDeg) < 0.05) return `This bend confirms the springback allowed: ${now}.`
  const word = stepDeg > 0 ? 'more' : 'less'
  return `From this bend on, ${Math.abs(stepDeg).toFixed(1)}° ${word} springback is allowed: ${now}.`
}
