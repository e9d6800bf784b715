import type { BendCharts } from '../../../server/messages/charts.ts'
import { chartWords as say } from '../../words/en-charts.ts'
import { addressOf, type Filter } from '../history/filter-address.ts'

type Mixed = NonNullable<BendCharts['error']>['mixed']

/** Says that these bends are of more than one process, and leads to the charts of each. */
export function MixedProcesses(props: { mixed: Mixed; filter: Filter; here: string }) {
  const { mixed, filter, here } = props
  if (mixed.length === 0) return null
  const { mixed: words } = say
  return (
    <>
      <p class="act-said">
        {words.said(mixed.map(({ field, count }) => words.many[field](count)))}
      </p>
      <ul class="rule-breaks">
        {mixed.map(({ field, count, names }) => (
          <li key={field}>
            {words.one[field]}:{' '}
            {names.map(({ name, n }) =>
              name === '' ? (
                <span key={name}>{words.unnamed(n)} </span>
              ) : (
                <a key={name} href={addressOf(here, { ...filter, [field]: name })}>
                  {words.named(name, n)}
                </a>
              ),
            )}
            {count > names.length && ` ${words.more(count - names.length)}`}
          </li>
        ))}
      </ul>
      <p class="field-help">{words.help}</p>
    </>
  )
}
