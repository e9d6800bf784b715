import { type ReadoutRow, readoutRecord } from './readout-record.ts'
import type { LogKind } from './verify-log.ts'

function whyTextDiffers({ id, kind, station, record }: ReadoutRow): string | null {
  try {
    const evidence = readoutRecord.evidenceIn(record)
    if (evidence.id !== id) return 'its number is not that of its text'
    if (evidence.kind !== kind) return 'its column kind is not that of its text'
    return evidence.station === station ? null : 'its column station is not that of its text'
  } catch {
    return 'its text is no entry'
  }
}

export const READOUT_LOG: LogKind<ReadoutRow> = {
  table: 'readout_log',
  name: 'the readout log',
  entry: 'Entry',
  sinceVersion: 2,
  makeJudge: () => whyTextDiffers,
}
