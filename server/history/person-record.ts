import { NewPersonChange, type PersonChange } from '../messages/people.ts'
import type { HashedRow } from './hashed-log.ts'
import { makeLogEntry } from './log-entry.ts'

/** A row of the table `people_log`. */
export interface PersonRow extends HashedRow {
  readonly id: number
  readonly person: string
}

export const personRecord = makeLogEntry<
  NewPersonChange,
  Omit<PersonChange, 'previousHash' | 'hash'>
>(NewPersonChange, 'HISTORY_BAD_PERSON')
