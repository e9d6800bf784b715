import type { BendFilter } from '../../../server/messages/find.ts'
import { findWords as say } from '../../words/en-find.ts'

/** What may be looked for, in the order of the form and of the address. Named as the daemon names it. */
const NAMES = [
  'part',
  'piece',
  'lot',
  'verdict',
  'firstDay',
  'lastDay',
  'text',
  'die',
  'station',
  'operator',
  'readout',
  'amended',
  'voided',
  'signed',
  'noted',
  'clock',
] as const satisfies readonly (keyof BendFilter)[]
export type FilterName = (typeof NAMES)[number]

/** Each condition as it stands in the address and as it is typed; one left out asks for nothing. */
export type Filter = Readonly<Partial<Record<FilterName, string>>>

const YES_OR_NO = ['yes', 'no'] as const

/** The values that a condition chooses from. */
export const CHOICES = {
  verdict: ['in', 'under', 'over', 'incomplete'],
  readout: ['overdue', 'failed', 'either'],
  amended: YES_OR_NO,
  voided: YES_OR_NO,
  signed: YES_OR_NO,
  noted: YES_OR_NO,
  clock: ['set-back'],
} as const satisfies { readonly [name in FilterName]?: readonly BendFilter[name][] }

const PIECE_MAX = 1_000_000
const NAME_LENGTH_MAX = 80
const TEXT_LENGTH_MAX = 200

/** True of a condition that the history knows. */
export const isFilterName = (name: string): name is FilterName =>
  NAMES.some((known) => known === name)

/** True of a condition that is one of a few. */
export const hasChoices = (name: FilterName): name is keyof typeof CHOICES => name in CHOICES

/** True of a day that the calendar has: 2026-02-30 is none. */
function isDay(text: string): boolean {
  if (!/^\d{4}-\d\d-\d\d$/.test(text)) return false
  const at = new Date(`${text}T00:00:00Z`)
  return Number.isFinite(at.getTime()) && at.toISOString().startsWith(text)
}

const SHOWN_MAX = 40
const shortened = (value: string) =>
  value.length > SHOWN_MAX ? `${value.slice(0, SHOWN_MAX)}…` : value

/** What is wrong with a condition's value, in a sentence; null: nothing. */
function wrongWith(name: FilterName, value: string): string | null {
  if (name === 'piece') {
    const isPiece = /^[1-9]\d{0,6}$/.test(value) && Number(value) <= PIECE_MAX
    return isPiece ? null : say.notPiece(shortened(value))
  }
  if (name === 'firstDay' || name === 'lastDay')
    return isDay(value) ? null : say.notDay(say[name], shortened(value))
  if (hasChoices(name)) {
    const choices: readonly string[] = CHOICES[name]
    return choices.includes(value)
      ? null
      : say.notChoice(say[name], shortened(value), choices.join(', '))
  }
  const most = name === 'text' ? TEXT_LENGTH_MAX : NAME_LENGTH_MAX
  return value.length <= most ? null : say.tooLong(say[name], most)
}

/**
 * Reads a filter from the query of an address such as `#/history?part=BR-5&piece=17`. A wrong value is dropped alone, and `problems` says each in a sentence; an empty one asks for nothing.
 */
export function readFilter(address: string): {
  readonly filter: Filter
  readonly problems: readonly string[]
} {
  const filter: Partial<Record<FilterName, string>> = {}
  const problems: string[] = []
  const [, query = ''] = /\?(.*)$/s.exec(address) ?? []
  for (const [name, typed] of new URLSearchParams(query)) {
    const value = typed.trim()
    if (value === '') continue
    const problem = isFilterName(name) ? wrongWith(name, value) : say.unknown(shortened(name))
    if (problem !== null) problems.push(problem)
    else if (isFilterName(name)) filter[name] = value
  }
  return { filter, problems }
}

/** The query of a filter, without a `?`, in one order whatever order it was typed in; empty if it asks for nothing. */
export function queryOfFilter(filter: Filter): URLSearchParams {
  const query = new URLSearchParams()
  for (const [name, value] of conditionsOf(filter)) query.set(name, value)
  return query
}

/** The conditions that a filter sets, in order. */
export const conditionsOf = (filter: Filter): readonly (readonly [FilterName, string])[] =>
  NAMES.flatMap((name) => {
    const value = filter[name]?.trim() ?? ''
    return value === '' ? [] : [[name, value] as const]
  })

/** The address of a page that takes a filter, such as `#/history`. */
export function addressOf(page: string, filter: Filter): string {
  const query = queryOfFilter(filter).toString()
  return query === '' ? page : `${page}?${query}`
}
