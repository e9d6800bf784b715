import type { BendFilter, KnownNames } from '../../../server/messages/find.ts'
import {
  DAYS_BACK_MAX,
  FILTER_CHOICES,
  FILTER_NAME_MAX,
  FILTER_TEXT_MAX,
  PIECE_MAX,
} from '../../../server/messages/find-choices.ts'
import { findWords as say } from '../../words/en-find.ts'

/** The conditions of the form's first lines, in their order. Named as the daemon names them. */
export const USUAL = [
  'text',
  'part',
  'piece',
  'lot',
  'verdict',
  'daysBack',
  'firstDay',
  'lastDay',
] as const satisfies readonly (keyof BendFilter)[]

/** Those that few use. */
export const SELDOM = [
  'die',
  'station',
  'operator',
  'due',
  'readout',
  'amended',
  'voided',
  'signed',
  'noted',
  'simulated',
  'clock',
] as const satisfies readonly (keyof BendFilter)[]

/** Of a program's address, or another page's: the form has days for them. */
const TIMES = ['from', 'to', 'undecidedSince'] as const satisfies readonly (keyof BendFilter)[]

const NAMES = [...USUAL, ...SELDOM, ...TIMES]
export type FilterName = (typeof NAMES)[number]

/** Each condition as it stands in the address and as it is typed; one left out asks for nothing. */
export type Filter = Readonly<Partial<Record<FilterName, string>>>

/** The numbers, and how large each may be. */
const NUMBERS = { piece: PIECE_MAX, daysBack: DAYS_BACK_MAX } as const

/** True of a condition that the history knows. */
export const isFilterName = (name: string): name is FilterName =>
  NAMES.some((known) => known === name)

/** True of a condition that is one of a few. */
export const hasChoices = (name: FilterName): name is keyof typeof FILTER_CHOICES =>
  name in FILTER_CHOICES

/** True of a day that the calendar has: 2026-02-30 is none. */
function isDay(text: string): boolean {
  if (!/^\d{4}-\d\d-\d\d$/.test(text)) return false
  const at = new Date(`${text}T00:00:00Z`)
  return Number.isFinite(at.getTime()) && at.toISOString().startsWith(text)
}

/** True of a condition for which the history knows names. */
export const isNamed = (name: FilterName): name is keyof KnownNames =>
  name === 'part' || name === 'lot' || name === 'die' || name === 'station' || name === 'operator'

const SHOWN_MAX = 40
function shortened(value: string): string {
  const letters = [...value]
  return letters.length > SHOWN_MAX ? `${letters.slice(0, SHOWN_MAX).join('')}…` : value
}

/** True of a moment in a program's address, or another page's. */
export const isTime = (name: FilterName) => TIMES.some((time) => time === name)

const isNumber = (name: FilterName): name is keyof typeof NUMBERS => name in NUMBERS

/** A whole number from 1; null where the text is none. */
function wholeOf(text: string, most: number): number | null {
  const isWhole = /^[1-9]\d{0,15}$/.test(text) && Number(text) <= most
  return isWhole ? Number(text) : null
}

/** What is wrong with a condition's value, in a sentence; null: nothing. */
function wrongWith(name: FilterName, value: string): string | null {
  if (isNumber(name)) {
    const most = NUMBERS[name]
    return wholeOf(value, most) === null ? say.notWhole(say[name], most, shortened(value)) : null
  }
  if (name === 'firstDay' || name === 'lastDay')
    return isDay(value) ? null : say.notDay(say[name], shortened(value))
  if (isTime(name))
    return Number.isFinite(Date.parse(value)) ? null : say.notTime(say[name], shortened(value))
  if (hasChoices(name)) {
    const choices: readonly string[] = FILTER_CHOICES[name]
    return choices.includes(value)
      ? null
      : say.notChoice(say[name], shortened(value), choices.join(', '))
  }
  const most = name === 'text' ? FILTER_TEXT_MAX : FILTER_NAME_MAX
  return [...value].length <= most ? null : say.tooLong(say[name], most)
}

interface FilterRead {
  readonly filter: Filter
  readonly problems: readonly string[]
}

function queryIn(address: string): URLSearchParams {
  const [, query = ''] = /\?(.*)$/s.exec(address) ?? []
  return new URLSearchParams(query)
}

/**
 * Reads a filter from the query of an address such as `#/history?part=BR-5&piece=17`. A wrong value is dropped alone,
 * and `problems` says each in a sentence; an empty one asks for nothing.
 */
export function readFilter(address: string): FilterRead {
  return readQuery(queryIn(address))
}

function readQuery(query: URLSearchParams): FilterRead {
  const filter: Partial<Record<FilterName, string>> = {}
  const problems: string[] = []
  for (const [name, typed] of query) {
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

/** A filter, and the page of what it finds: bends older than number `before`; null: the newest. */
interface Place extends FilterRead {
  readonly before: number | null
}

/** Reads a filter and a page of it from an address. */
export function readPlace(address: string): Place {
  const query = queryIn(address)
  const [typed = ''] = query.getAll('before').map((text) => text.trim())
  query.delete('before')
  const read = readQuery(query)
  const before = wholeOf(typed, Number.MAX_SAFE_INTEGER)
  if (typed === '' || before !== null) return { ...read, before }
  return { ...read, before, problems: [...read.problems, say.notBend(shortened(typed))] }
}

/** The address of one page of the history. */
export function addressOfPlace(filter: Filter, before: number | null): string {
  const query = queryOfFilter(filter)
  if (before !== null) query.set('before', String(before))
  return query.size === 0 ? '#/history' : `#/history?${query}`
}

/** A filter as the daemon has it, as it stands in an address. */
export const typedFilter = (filter: BendFilter): Filter =>
  Object.fromEntries(Object.entries(filter).map(([name, value]) => [name, String(value)]))

/** A filter that `readFilter` took, as the daemon has it. */
export const askedFilter = (filter: Filter): BendFilter =>
  Object.fromEntries(
    conditionsOf(filter).map(([name, value]) => [name, isNumber(name) ? Number(value) : value]),
  )
