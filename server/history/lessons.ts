import type { Database } from 'better-sqlite3'
import { inBatches } from './batches.ts'
import { STEPS } from './canonical.ts'
import type { StoredLesson } from './history.ts'

/** Rows read in one go: 100 kB, some milliseconds. */
const BATCH_ROWS = 2000
interface Row {
  readonly id: number
  readonly setupId: number
  readonly peakUdeg: number
  readonly springbackUdeg: number
  readonly simulated: 0 | 1
}

/**
 * What every bend that may teach has to teach, oldest first. Four numbers are taken out of each record by the
 * database, so that a hundred thousand are read in about two seconds.
 */
export function* lessonsIn(db: Database): Generator<StoredLesson> {
  const batch = db.prepare<[number], Row>(`
    SELECT id, setup_id AS setupId, record ->> '$.peakUdeg' AS peakUdeg,
      record ->> '$.springbackUdeg' AS springbackUdeg, record ->> '$.simulated' AS simulated
    FROM bend WHERE learned = 1 AND id > ? ORDER BY id LIMIT ${BATCH_ROWS}`)
  const rows = inBatches((lastId) => batch.all(lastId), BATCH_ROWS)
  for (const { peakUdeg, springbackUdeg, simulated, ...row } of rows)
    yield {
      ...row,
      peakDeg: peakUdeg / STEPS,
      springbackDeg: springbackUdeg / STEPS,
      simulated: simulated === 1,
    }
}
