import { Type } from 'typebox'
import { oneOf, orNull } from '../schema.ts'
import { defineAct, reason } from './act-kind.ts'

/** What a person typed and may have got wrong. What the sensor measured, the verdict and hashes are never among them. */
export const AMENDABLE = [
  'operator',
  'part',
  'piece',
  'bendNumber',
  'lot',
  'checkedDeg',
  'gauge',
  'note',
] as const
export type Amendable = (typeof AMENDABLE)[number]

/** A number is written out, so that it is hashed as the person wrote it. */
const value = (description: string) => orNull(Type.String({ maxLength: 10_000, description }))

export const amendment = defineAct({
  kind: 'amendment',
  address: 'amendments',
  summary: 'Put a value beside the recorded one, which stays',
  may: 'operator',
  unsigns: true,
  fields: {
    field: oneOf(AMENDABLE, { description: 'What was recorded wrongly.' }),
    from: value('What has stood there until now; null: nothing. A number is written out.'),
    to: value('What is to stand there; null: nothing. Degrees with a decimal point.'),
    reason,
  },
})
