import { findWords as say } from '../../words/en-find.ts'
import { moment } from '../../words/format.ts'
import { type FilterName, hasChoices, isTime } from './filter-address.ts'

const isChoice = (value: string): value is keyof typeof say.choices =>
  Object.hasOwn(say.choices, value)

/** What a condition asks for, as a person reads it. */
export function conditionText(name: FilterName, value: string): string {
  if (hasChoices(name) && isChoice(value)) return say.choices[value]
  return isTime(name) ? moment(value) : value
}
