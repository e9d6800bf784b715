import {
  type Mapping,
  NOTEBOOK_FIELDS,
  type NotebookAsk,
  type NotebookField,
  type Source,
} from '../../../server/messages/notebook.ts'

/** What the form knows of the file and of how it is written. */
export interface NotebookForm {
  readonly file: string
  readonly text: string
  readonly separator: NotebookAsk['separator']
  readonly decimal: NotebookAsk['decimal']
  readonly dates: NotebookAsk['dates']
  readonly setupId: number
  readonly mapping: Mapping
}

/** Where a field comes from, as the key of a choice: '' nowhere, `value`, or the number of a column. */
export function keyOf(source: Source | undefined): string {
  if (source === undefined) return ''
  return source.column === undefined ? 'value' : String(source.column)
}

export function withSource(mapping: Mapping, field: NotebookField, key: string): Mapping {
  const rest = Object.entries(mapping).filter(([name]) => name !== field)
  if (key === '') return Object.fromEntries(rest)
  const source: Source = key === 'value' ? { value: '' } : { column: Number(key) }
  return Object.fromEntries([...rest, [field, source]])
}

const SEPARATORS = [
  ['semicolon', ';'],
  ['tab', '\t'],
  ['comma', ','],
] as const

const HEAD_LENGTH = 5000

/** How a file is likely written, from its first lines: a decimal comma never goes with a comma between columns. */
export function guessStyle(text: string): Pick<NotebookForm, 'separator' | 'decimal' | 'dates'> {
  const head = text.slice(0, HEAD_LENGTH)
  const first = head.split(/\r?\n/).find((line) => line.trim() !== '') ?? ''
  const [separator] = SEPARATORS.find(([, mark]) => first.includes(mark)) ?? ['comma' as const]
  const decimal = separator !== 'comma' && /\d,\d/.test(head) ? 'comma' : 'point'
  const isEuropean = separator === 'semicolon' || decimal === 'comma'
  return { separator, decimal, dates: guessDates(text, isEuropean) }
}

const YEAR_FIRST = /(?<!\d)\d{4}[-./]\d{1,2}[-./]\d{1,2}(?!\d)/
const YEAR_LAST = /(?<!\d)(\d{1,2})([-./])(\d{1,2})\2\d{4}(?!\d)/g
const MONTHS = 12

/** The days of a text whose year comes last, as they are typed and as their first two numbers. */
const daysIn = (text: string) =>
  [...text.matchAll(YEAR_LAST)].map(([typed, first, mark, second]) => ({
    ...{ typed, mark },
    numbers: [Number(first), Number(second)] as const,
  }))

/** Days with strokes stand in both orders: a number beyond 12 tells, else the way the rest is written. */
function guessDates(text: string, isEuropean: boolean): NotebookForm['dates'] {
  if (YEAR_FIRST.test(text.slice(0, HEAD_LENGTH))) return 'year-first'
  const stroked = daysIn(text).filter(({ mark }) => mark === '/')
  if (stroked.length === 0 || stroked.some(({ numbers: [first] }) => first > MONTHS))
    return 'day-first'
  const isMonthFirst = stroked.some(({ numbers: [, second] }) => second > MONTHS)
  return isMonthFirst || !isEuropean ? 'month-first' : 'day-first'
}

/**
 * The first day of a text that could be either, as it is typed and as it is taken; null where none could, or where
 * another day, with a number beyond 12, tells that they are in this order.
 */
export function dayTaken(
  text: string,
  dates: NotebookForm['dates'],
): { typed: string; meant: string } | null {
  if (dates === 'year-first') return null
  const days = daysIn(text)
  const place = dates === 'day-first' ? 0 : 1
  if (days.some(({ numbers }) => numbers[place] > MONTHS)) return null
  const either = days.find(
    ({ numbers: [first, second] }) => first !== second && first <= MONTHS && second <= MONTHS,
  )
  if (either === undefined) return null
  const [first, second] = either.numbers
  const [day, month] = dates === 'day-first' ? [first, second] : [second, first]
  const two = (value: number) => String(value).padStart(2, '0')
  return { typed: either.typed, meant: `${either.typed.slice(-4)}-${two(month)}-${two(day)}` }
}

/** Only columns that the file has: another file may be chosen under the same form. */
export function mappedWithin(mapping: Mapping, columns: number): Mapping {
  return Object.fromEntries(
    NOTEBOOK_FIELDS.flatMap((field) => {
      const source = mapping[field]
      return source && (source.column ?? 0) < columns ? [[field, source]] : []
    }),
  )
}
