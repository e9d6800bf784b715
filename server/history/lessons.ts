import type { Database } from 'better-sqlite3'
import { inBatches } from './batches.ts'
import { STEPS } from './canonical.ts'
import type { CheckedLesson, StoredLesson } from './history.ts'

/** Rows read in one go: 100 kB, some milliseconds. */
const BATCH_ROWS = 2000
interface Row {
  readonly id: number
  readonly setupId: number
  readonly peakUdeg: number
  readonly springbackUdeg: number
  readonly simulated: 0 | 1
  readonly checkedUdeg: number | null
  readonly releasedFrom: string | null
  readonly expandedUdeg: number | null
  readonly calibration: number | null
}

type Checked = Pick<Row, 'checkedUdeg' | 'releasedFrom' | 'expandedUdeg' | 'calibration'>

function checkedOf({ checkedUdeg, releasedFrom, expandedUdeg, calibration }: Checked) {
  if (checkedUdeg === null) return null
  const checked: CheckedLesson = {
    checkedDeg: checkedUdeg / STEPS,
    byHandAlone: releasedFrom === 'checked',
    expandedDeg: expandedUdeg === null ? null : expandedUdeg / STEPS,
    calibration,
  }
  return checked
}

/**
 * What every bend that may teach has to teach, oldest first. Four numbers are taken out of each record by the
 * database, so that a hundred thousand are read in one to two seconds.
 */
export function* lessonsIn(db: Database): Generator<StoredLesson> {
  const batch = db.prepare<[number], Row>(`
    SELECT id, setup_id AS setupId, record ->> '$.peakUdeg' AS peakUdeg,
      record ->> '$.springbackUdeg' AS springbackUdeg, record ->> '$.simulated' AS simulated,
      record ->> '$.checkedUdeg' AS checkedUdeg, record ->> '$.releasedFrom' AS releasedFrom,
      record ->> '$.readout.releasedExpandedUdeg' AS expandedUdeg,
      record ->> '$.readout.calibration.number' AS calibration
    FROM bend WHERE learned = 1 AND id > ? ORDER BY id LIMIT ${BATCH_ROWS}`)
  const rows = inBatches((lastId) => batch.all(lastId), BATCH_ROWS)
  for (const { id, setupId, peakUdeg, springbackUdeg, simulated, ...row } of rows) {
    const checked = checkedOf(row)
    yield {
      ...{ id, setupId },
      peakDeg: peakUdeg / STEPS,
      springbackDeg: springbackUdeg / STEPS,
      simulated: simulated === 1,
      ...(checked && { checked }),
    }
  }
}
