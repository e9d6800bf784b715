import { aimFor, type Aim as BendAim, NO_SET_SLOPE, type NoAim } from '../bend/aim.ts'
import { mayTeach } from '../bend/learnable.ts'
import { secondGoDeg } from '../bend/second-go.ts'
import type { SetupKnowledge } from '../bend/shop-memory.ts'
import { coefficientsOf, type SpringbackModel } from '../bend/springback.ts'
import { predictSpringback } from '../bend/springback-prediction.ts'
import type { NewBend, Prediction } from '../messages/bends.ts'

type Measured = Pick<NewBend, 'peakDeg' | 'releasedDeg' | 'verdict' | 'releasedFrom'>

/** Whether a bend teaches the model as it stood before, in the words of the record. */
export function lessonFrom(
  model: SpringbackModel,
  bend: Measured,
): Pick<NewBend, 'learned' | 'notLearnedWhy'> {
  const lesson = mayTeach(model, bend)
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

/** The aim for a wanted angle, rounded as it is sent to the chain. */
export function firstAim(
  { model, lotBends, materialBends }: Omit<SetupKnowledge, 'drift'>,
  wantedDeg: number,
): BendAim | NoAim {
  const aim = aimFor(model, wantedDeg, { lotBends, materialBends })
  return aim.commandedDeg === null ? aim : { ...aim, commandedDeg: millionths(aim.commandedDeg) }
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
 * the next bend may be of another angle.
 */
export function changeSentence(
  before: BendAim | NoAim | null,
  after: BendAim | NoAim | null,
  wantedDeg: number,
): string | null {
  if (before?.commandedDeg == null || after?.commandedDeg == null) return null
  const stepDeg = after.springbackDeg - before.springbackDeg
  const now = `${after.springbackDeg.toFixed(1)}° for ${wantedDeg}°`
  if (Math.abs(stepDeg) < 0.05) return `This bend confirms the springback allowed: ${now}.`
  const word = stepDeg > 0 ? 'more' : 'less'
  return `From this bend on, ${Math.abs(stepDeg).toFixed(1)}° ${word} springback is allowed: ${now}.`
}
