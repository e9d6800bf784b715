import { NO_SET_SLOPE } from './aim.ts'
import { type SpringbackModel, springbackOfNext } from './springback.ts'

/** As a record holds it: the last go of one tube. Degrees. */
export interface TeachingBend {
  readonly peakDeg: number | null
  readonly releasedDeg: number | null
  readonly verdict: 'in' | 'under' | 'over' | 'incomplete'
  readonly releasedFrom?: string
}

export type MayTeach =
  | { readonly learn: true; readonly loadedDeg: number; readonly springbackDeg: number }
  | { readonly learn: false; readonly why: string }

/** More than a quarter coming back is a slipping clamp or a wrong tube, unless it was predicted (judgement, no source). */
const USUAL_SHARE_MAX = 0.25

/** Scales from the prediction, beyond which so much was not predicted. */
const FAR_SCALES = 3

const no = (why: string): MayTeach => ({ learn: false, why })

/**
 * Whether a bend may teach the model that predicted it, with the reason if not. One row a tube: a
 * second go shares the first one's lot, wall and zero, and two rows would make the model too sure.
 *
 * @param model As it stood before this bend.
 */
export function mayTeach(model: SpringbackModel, bend: TeachingBend): MayTeach {
  const { peakDeg, releasedDeg } = bend
  if (bend.releasedFrom === 'unknown')
    return no('Where the tube stood is not known: the arm had left it, and no angle was checked.')
  if (bend.verdict === 'incomplete') return no('The bend was not finished.')
  if (peakDeg === null || !(peakDeg > 0 && peakDeg <= 360))
    return no('No angle under load was measured.')
  if (releasedDeg === null || !Number.isFinite(releasedDeg))
    return no('The die never stood still after letting off, so the springback is not known.')
  const springbackDeg = peakDeg - releasedDeg
  if (!(springbackDeg > 0))
    return no('No springback was seen: every tube springs back, so the readout was disturbed.')
  if (!(springbackDeg < peakDeg)) return no('The tube sprang all the way back: nothing was bent.')
  if (springbackDeg > NO_SET_SLOPE * peakDeg)
    return no(
      `More than half of the ${peakDeg.toFixed(1)}° came back: no tube that takes a set does that.`,
    )
  const expected = springbackOfNext(model, peakDeg)
  const scales = Math.abs(springbackDeg - expected.springbackDeg) / expected.scaleDeg
  const [seen, foreseen] = [springbackDeg, expected.springbackDeg].map((deg) => deg.toFixed(1))
  const said = `${seen}° came back, ${foreseen}° was expected`
  if (springbackDeg > USUAL_SHARE_MAX * peakDeg && scales > FAR_SCALES)
    return no(`${said}: did the clamp slip?`)
  return { learn: true, loadedDeg: peakDeg, springbackDeg }
}
