import type { Database } from 'better-sqlite3'
import { makePick } from './canonical.ts'
import type { PlaceBend, PlaceQuery } from './history.ts'

interface Row {
  readonly id: number
  readonly setupId: number
  readonly record: string
}

const NAMES = [
  ...(['wantedDeg', 'commandedDeg', 'peakDeg', 'releasedDeg', 'springbackDeg'] as const),
  ...(['prediction', 'readout', 'simulated'] as const),
]
const pick = makePick(NAMES)

function placeBendOf({ record, ...row }: Row): PlaceBend {
  const { prediction, readout, ...rest } = pick(record)
  return {
    ...row,
    ...(rest as Omit<PlaceBend, 'id' | 'setupId' | 'expectedDeg' | 'releasedExpandedDeg'>),
    expectedDeg: (prediction as { springbackDeg: number } | null)?.springbackDeg ?? null,
    releasedExpandedDeg:
      (readout as { releasedExpandedDeg?: number | null } | undefined)?.releasedExpandedDeg ?? null,
  }
}

/**
 * Makes the function that reads the newest lessons of one place, oldest first. They are found by their lot, within
 * the numbers that are theirs, so that it costs what the lot is long there, whatever else the history holds.
 */
export function makePlaceBends(db: Database) {
  const newestOf = db.prepare<[string, number, number, string, 0 | 1, number], Row>(`
    SELECT bend.id, bend.setup_id AS setupId, bend.record FROM
      (SELECT id FROM bend INDEXED BY bend_by_lot
        WHERE lot = ? AND id BETWEEN ? AND ? AND learned = 1
          AND setup_id IN (SELECT value FROM json_each(?)) AND record ->> '$.simulated' = ?
        ORDER BY id DESC LIMIT ?) AS found
    CROSS JOIN bend ON bend.id = found.id ORDER BY bend.id`)
  return function placeBends(place: PlaceQuery, newest: number): PlaceBend[] {
    const { lot, setupIds, simulated, firstBend, lastBend } = place
    const ids = JSON.stringify(setupIds)
    return newestOf.all(lot, firstBend, lastBend, ids, simulated ? 1 : 0, newest).map(placeBendOf)
  }
}
