import { type ChainRow, chainRecord } from './chain-record.ts'
import type { LogKind } from './verify-log.ts'

function whyTextDiffers({ id, name, revision, record }: ChainRow): string | null {
  try {
    const evidence = chainRecord.evidenceIn(record)
    if (evidence.id !== id) return 'its number is not that of its text'
    if (evidence.name !== name) return 'its column name is not that of its text'
    return evidence.revision === revision ? null : 'its column revision is not that of its text'
  } catch {
    return 'its text is no revision'
  }
}

export const CHAIN_LOG: LogKind<ChainRow> = {
  table: 'chain_log',
  name: 'the log of chains',
  entry: 'Revision',
  sinceVersion: 4,
  makeJudge: () => whyTextDiffers,
}
