import { type PersonRow, personRecord } from './person-record.ts'
import type { LogKind } from './verify-log.ts'

function whyTextDiffers({ id, person, record }: PersonRow): string | null {
  try {
    const evidence = personRecord.evidenceIn(record)
    if (evidence.id !== id) return 'its number is not that of its text'
    return evidence.person === person ? null : 'its column person is not that of its text'
  } catch {
    return 'its text is no change of people'
  }
}

export const PEOPLE_LOG: LogKind<PersonRow> = {
  table: 'people_log',
  name: 'the log of people',
  entry: 'Change',
  sinceVersion: 5,
  makeJudge: () => whyTextDiffers,
}
