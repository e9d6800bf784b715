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

/** How a file is likely written, from its first lines: a decimal comma never goes with a comma between columns. */
export function guessStyle(text: string): Pick<NotebookForm, 'separator' | 'decimal' | 'dates'> {
  const head = text.slice(0, 5000)
  const first = head.split(/\r?\n/).find((line) => line.trim() !== '') ?? ''
  const [separator] = SEPARATORS.find(([, mark]) => first.includes(mark)) ?? ['comma' as const]
  const decimal = separator !== 'comma' && /\d,\d/.test(head) ? 'comma' : 'point'
  const dates = /\d{4}-\d\d-\d\d/.test(head)
    ? 'year-first'
    : /\d{1,2}\/\d{1,2}\/\d{4}/.test(head)
      ? 'month-first'
      : 'day-first'
  return { separator, decimal, dates }
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
