import { NO_SET_SLOPE } from './aim.ts'

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

const no = (why: string): MayTeach => ({ learn: false, why })

/**
 * Whether a bend may teach, with the reason if not: only what no bend of a tube can be is refused. One that does
 * not fit the others is for the shop's memory to set apart, where later bends or a person can bring it back. One row a
 * tube: a second go shares the first one's lot, wall and zero, and two rows would make the model too sure.
 */
export function mayTeach(bend: TeachingBend): MayTeach {
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
  return { learn: true, loadedDeg: peakDeg, springbackDeg }
}
