import { isByReadout } from '../bend/error-shares.ts'
import type { NewBend } from '../messages/bends.ts'
import type {
  Calibration,
  Check,
  ReadoutEntry,
  SixPositions,
  Standing,
} from '../messages/readout.ts'
import { millionths } from './coach.ts'

/** What is known of the readout while a bend is made. */
export interface ReadoutInForce {
  readonly calibration: Calibration | null
  /** Of an accelerometer's axes. */
  readonly axes: SixPositions | null
  readonly check: Check | null
  readonly standing: Standing
  /** One sentence when the check is overdue or failed. */
  readonly why: string | null
  /** Expanded uncertainty of an angle it was released at; null: not known. */
  expandedDeg(releasedDeg: number, plateauSeDeg: number): number | null
}

/** Without a calibration the readout is what the counts of a turn say. */
const NOT_CALIBRATED = 'counts per turn, not calibrated'
const CUT_OFF = 'not known: the bend was cut off'

const named = ({ id, at, hash }: ReadoutEntry) => ({ number: id, at, hash })

function verificationText({ check, standing }: ReadoutInForce): string | null {
  if (check === null) return null
  const outcome = check.passed ? 'passed' : 'failed'
  const late = standing === 'overdue' ? ', now overdue' : ''
  return `Check ${check.id} of ${check.at}: ${outcome}${late}`
}

type Facts = Pick<NewBend, 'calibration' | 'verification' | 'readout'>
type Released = Pick<NewBend, 'releasedDeg' | 'releasedSeDeg' | 'releasedFrom'>

/** What a bend's record says of its readout: a text for people, and the entries by number and hash. */
export function readoutFacts(
  readout: ReadoutInForce | null,
  { releasedDeg, releasedSeDeg, releasedFrom }: Released,
): Facts {
  // What was in force before a crash is not known after it.
  if (readout === null) return { calibration: CUT_OFF, verification: null }
  const { calibration, axes, check, standing, why } = readout
  // How well an angle was read off a gauge, nobody has said.
  const isItsOwn = releasedDeg !== null && isByReadout(releasedDeg, releasedFrom)
  const expandedDeg = isItsOwn ? readout.expandedDeg(releasedDeg, releasedSeDeg ?? 0) : null
  return {
    calibration: calibration
      ? `Calibration ${calibration.id} of ${calibration.at}`
      : NOT_CALIBRATED,
    verification: verificationText(readout),
    readout: {
      calibration: calibration && named(calibration),
      ...(axes && { axes: named(axes) }),
      check: check && { ...named(check), passed: check.passed },
      standing,
      why,
      releasedExpandedDeg: expandedDeg === null ? null : millionths(expandedDeg),
    },
  }
}
