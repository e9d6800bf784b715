import {
  PAIRS_MAX,
  PAIRS_MIN,
  type ReadoutGap,
  readoutGap,
  releasedFromTwo,
  type TwoReadings,
} from '../bend/two-readings.ts'
import type { StoredLesson } from '../history/history.ts'
import type { NewBend } from '../messages/bends.ts'
import { millionths } from './coach.ts'

/** Standard uncertainty of an angle read off an angle finder by hand, degrees: common practice, no source. */
const FINDER_STANDARD_DEG = 0.2
/** Of the readout's released angle, where its budget is not known (judgement, no source). */
const READOUT_STANDARD_DEG = 0.1
/**
 * Of a springback as the readout has it (judgement, no source). Peak and released angle stand a few degrees apart, so what
 * datum, calibration and gauge put to the one they put to the other; step and repeat are left.
 */
const SPRINGBACK_STANDARD_DEG = 0.05
/** No budget is better than the step that records keep. */
const STANDARD_MIN_DEG = 1e-6

const NO_PAIRS: readonly TwoReadings[] = []

/** What a recorded bend has to teach, in the words of the history; null where it teaches nothing. */
export function lessonOf(bend: NewBend, id: number): StoredLesson | null {
  const { learned, peakDeg, springbackDeg, checkedDeg, releasedFrom, readout } = bend
  if (learned !== 'yes' || peakDeg === null || springbackDeg === null) return null
  const { setupId, simulated } = bend
  return {
    ...{ id, setupId, peakDeg, springbackDeg, simulated },
    ...(checkedDeg !== null && {
      checked: {
        checkedDeg: millionths(checkedDeg),
        byHandAlone: releasedFrom === 'checked',
        expandedDeg: readout?.releasedExpandedDeg ?? null,
        calibration: readout?.calibration?.number ?? null,
      },
    }),
  }
}

/** The springback that a bend teaches, and its own standard uncertainty where that is large. Degrees. */
interface Told {
  readonly springbackDeg: number
  readonly standardDeg?: number
}

/**
 * Angles of readout and angle finder, side by side, bender by bender and from one calibration to the next: another
 * calibration is another readout. Fed in the order of the history, it comes to the same digits after a restart.
 */
export function makeTwoReadings() {
  const benders = new Map<string, { calibration: number | null; pairs: readonly TwoReadings[] }>()

  function pairsAt(station: string, calibration: number | null): readonly TwoReadings[] {
    const bender = benders.get(station)
    return bender?.calibration === calibration ? bender.pairs : NO_PAIRS
  }

  const gapAt = (station: string, calibration: number | null): ReadoutGap =>
    readoutGap(pairsAt(station, calibration))

  return {
    gapAt,
    /** What a bend teaches once both readings are weighed, each by its own uncertainty. */
    read(
      station: string,
      { peakDeg, springbackDeg, checked }: Told & Pick<StoredLesson, 'peakDeg' | 'checked'>,
    ): Told {
      if (checked === undefined) return { springbackDeg }
      const { checkedDeg, byHandAlone, expandedDeg, calibration } = checked
      const finder = { deg: checkedDeg, standardDeg: FINDER_STANDARD_DEG }
      if (byHandAlone) {
        // Peak and released angle must be of one scale: the readout's.
        const { persistent, gapDeg } = gapAt(station, calibration)
        const onReadoutDeg = checkedDeg + (persistent ? gapDeg : 0)
        return { springbackDeg: peakDeg - onReadoutDeg, standardDeg: FINDER_STANDARD_DEG }
      }
      const standardDeg = expandedDeg === null ? READOUT_STANDARD_DEG : expandedDeg / 2
      const automatic = {
        deg: peakDeg - springbackDeg,
        standardDeg: Math.max(STANDARD_MIN_DEG, standardDeg),
      }
      const pair = { automatic, checked: finder }
      const pairs = [...pairsAt(station, calibration), pair].slice(-PAIRS_MAX)
      benders.set(station, { calibration, pairs })
      // With fewer pairs nobody can tell a gap from chance, and the readout alone teaches.
      if (pairs.length < PAIRS_MIN) return { springbackDeg }
      const ofSpringbackDeg = Math.min(automatic.standardDeg, SPRINGBACK_STANDARD_DEG)
      const weighed = { automatic: { ...automatic, standardDeg: ofSpringbackDeg }, checked: finder }
      return { springbackDeg: peakDeg - releasedFromTwo(weighed, readoutGap(pairs)).deg }
    },
  }
}
