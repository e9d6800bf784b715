import { judge } from '../../bend/judge.ts'
import type { Imported, NewBend } from '../../messages/bends.ts'
import type { StoredSetup } from '../../messages/setup.ts'
import { lessonFrom, millionths } from '../coach.ts'
import type { NotebookLine } from './read-line.ts'

const NOT_KNOWN = 'not known: imported'
const NOT_TO_TEACH = 'It was imported, and not to teach.'

/** Whether the line can teach: what a recorded bend is refused for, it is refused for too. */
export function lessonOf({ peakDeg, releasedDeg, wantedDeg, toleranceDeg }: NotebookLine) {
  const { verdict } = judge(releasedDeg, { wantedDeg, toleranceDeg })
  return { verdict, ...lessonFrom({ peakDeg, releasedDeg, verdict, releasedFrom: 'checked' }) }
}

interface Taken {
  readonly setup: StoredSetup
  readonly imported: Imported
  readonly software: string
  /** Whether it is to teach, if it can. */
  readonly teach: boolean
}

/**
 * The record of a line. What no sensor saw is not made up: its angle stands as one that was checked by hand, there
 * is no trace, and it says who imported it and from where.
 */
export function importedBend(
  line: NotebookLine,
  { setup, imported, software, teach }: Taken,
): NewBend {
  const { station, die, sensor, tube } = setup.setup
  const { part, piece, bendNumber, operator, wantedDeg, toleranceDeg } = line
  const { peakDeg, releasedDeg } = line
  const { verdict, learned, notLearnedWhy } = lessonOf(line)
  const mayTeach = learned === 'no' || teach
  return {
    schema: 1,
    startedAt: line.startedAt,
    finishedAt: line.startedAt,
    ...{ wantedDeg, toleranceDeg, peakDeg, releasedDeg, verdict },
    commandedDeg: line.commandedDeg,
    releasedSeDeg: null,
    releasedFrom: 'checked',
    springbackDeg: peakDeg === null ? null : millionths(peakDeg - releasedDeg),
    checkedDeg: releasedDeg,
    hits: line.hits,
    goes: [],
    closedBy: 'imported',
    learned: mayTeach ? learned : 'no',
    notLearnedWhy: mayTeach ? notLearnedWhy : NOT_TO_TEACH,
    prediction: null,
    setupId: setup.id,
    setup: { station, die, sensor },
    tube,
    job: { part, piece, bendNumber, wantedDeg, toleranceDeg, operator },
    datumDeg: null,
    leadS: 0,
    chainRevision: NOT_KNOWN,
    calibration: NOT_KNOWN,
    verification: null,
    firmware: null,
    software,
    simulated: false,
    imported,
  }
}
