import { liveBudget, type Readout } from '../bend/uncertainty.ts'
import type { Check, CheckChart, NewCheck, ReferencePiece } from '../messages/readout.ts'
import type { Sensor } from '../messages/sensor.ts'
import { individualsChart } from '../quality/individuals-chart.ts'
import { budgetOf } from '../quality/uncertainty-budget.ts'
import { millionths } from './coach.ts'
import type { StillReading } from './readout-watch.ts'

/** A piece in place, and what the readout shows of it. */
interface Compared {
  readonly piece: ReferencePiece
  /** From the datum. */
  readonly reading: StillReading
  readonly sensor: Sensor
  /** Number of the calibration in force. */
  readonly calibration: number | null
  /** What the uncertainty of the readout is made of; null: not known. */
  readonly readout: Readout | null
}

/** Of the difference: that of the readout and that of the piece's known angle. */
function expandedDeg({ piece, readout }: Compared): number | null {
  if (readout === null) return null
  const { components } = liveBudget(readout)
  const lines = components.map(({ standardDeg, ...line }) => ({ ...line, standard: standardDeg }))
  const known = { name: 'known angle of the piece', standard: piece.standardDeg }
  return millionths(budgetOf([...lines, known]).expanded)
}

/**
 * A check as it is entered: readout against known angle. Simple acceptance: on the limit is passed, and the
 * uncertainty stands beside it.
 */
export function checkOf(compared: Compared) {
  const { piece, reading, sensor, calibration } = compared
  const readoutDeg = millionths(reading.meanDeg)
  const differenceDeg = millionths(readoutDeg - piece.knownDeg)
  return {
    kind: 'check',
    sensor,
    piece: piece.id,
    calibration,
    knownDeg: piece.knownDeg,
    readoutDeg,
    readoutSdDeg: millionths(reading.sdDeg),
    differenceDeg,
    limitDeg: piece.limitDeg,
    expandedDeg: expandedDeg(compared),
    passed: Math.abs(differenceDeg) <= piece.limitDeg,
  } as const satisfies Partial<NewCheck>
}

/** Individuals chart of the checks with one piece. @param checks Newest first, as the log gives them. */
export function chartOf(piece: ReferencePiece, checks: readonly Check[]): CheckChart {
  const own = checks.filter((check) => check.piece === piece.id).toReversed()
  const chart = individualsChart(own.map(({ differenceDeg }) => differenceDeg))
  return {
    piece,
    checks: own.map(({ id, at, differenceDeg, passed }, i) => {
      const isBeyond = chart?.beyond.includes(i) ?? false
      return { id, at, differenceDeg, passed, isBeyond }
    }),
    limits: chart && {
      centreDeg: chart.centre,
      sigmaDeg: chart.sigma,
      lowerDeg: chart.lower,
      upperDeg: chart.upper,
      meanRangeDeg: chart.meanRange,
      upperRangeDeg: chart.upperRange,
    },
  }
}
