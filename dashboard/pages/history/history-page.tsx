import { useComputed } from '@preact/signals'
import { useState } from 'preact/hooks'
import { api } from '../../live/api.ts'
import { useStation } from '../../live/context.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { words } from '../../words/en.ts'
import { findWords as find } from '../../words/en-find.ts'
import { BendTable } from './bend-table.tsx'
import { Conditions } from './conditions.tsx'
import {
  addressOf,
  type Filter,
  type FilterName,
  queryOfFilter,
  readFilter,
} from './filter-address.ts'
import { FilterForm } from './filter-form.tsx'
import { FoundSummary } from './found-summary.tsx'

const { history: say } = words

function Paging(props: {
  before: number | null
  nextBefore: number | null
  onTurn: (before: number | null) => void
}) {
  const { before, nextBefore, onTurn } = props
  return (
    <p class="pages">
      <button type="button" class="plain" disabled={before === null} onClick={() => onTurn(null)}>
        {say.newest}
      </button>
      <button
        type="button"
        class="plain"
        disabled={nextBefore === null}
        onClick={() => onTurn(nextBefore)}
      >
        {say.older}
      </button>
    </p>
  )
}

/** One page's worth, in rows. */
const ROWS = 50

function pageQuery(filter: Filter, before: number | null): URLSearchParams {
  const query = queryOfFilter(filter)
  query.set('limit', String(ROWS))
  if (before !== null) query.set('before', String(before))
  return query
}

function goTo(filter: Filter): void {
  location.hash = addressOf('#/history', filter)
}

const Links = ({ asked }: { asked: URLSearchParams }) => (
  <p class="act-doings">
    <a class="plain" href={`#/history/charts${asked.size > 0 ? `?${asked}` : ''}`}>
      {find.charts}
    </a>
    <a class="plain" href={api.exportAddress(asked, 'csv')} download>
      {find.exports.csv}
    </a>
    <a class="plain" href={api.exportAddress(asked, 'json')} download>
      {find.exports.json}
    </a>
    <a class="plain" href={api.signedAddress(asked)} download>
      {find.exports.signed}
    </a>
    <a class="plain" href="#/notebook">
      {say.importNotebook}
    </a>
    <a class="plain" href="#/people">
      {words.people.title}
    </a>
  </p>
)

/** The bends of one filter, newest first. Looks again whenever a bend is recorded. */
function Found({ filter, problems }: { filter: Filter; problems: readonly string[] }) {
  const { state } = useStation()
  const [before, setBefore] = useState<number | null>(null)
  const newest = useComputed(() => state.value?.result?.bendId ?? null).value
  const query = pageQuery(filter, before)
  const asked = queryOfFilter(filter)
  const isFiltered = asked.size > 0
  const { value, problem } = useAnswer(`${query} ${newest}`, () => api.bends(query))
  const { value: summary } = useAnswer(`${asked} ${newest}`, () => api.bendSummary(asked))
  const { value: names } = useAnswer(`names ${newest}`, api.bendNames)
  const drop = (name: FilterName) => goTo({ ...filter, [name]: '' })
  return (
    <main class="desk">
      <div class="record-head">
        <h1>{say.title}</h1>
        <p role="status">{value ? say.total(value.total) : ''}</p>
      </div>
      <FilterForm filter={filter} names={names} onFilter={goTo} />
      <p class="form-refused" role="alert">
        {[...problems, ...(problem === null ? [] : [problem])].join(' ')}
      </p>
      <Conditions filter={filter} onDrop={drop} />
      {value && value.bends.length === 0 && (
        <p class="desk-intro">{isFiltered ? say.none : say.empty}</p>
      )}
      {summary && (isFiltered || summary.total > 0) && (
        <FoundSummary summary={summary} onDrop={drop} />
      )}
      {value && value.bends.length > 0 && <BendTable rows={value.bends} />}
      <Links asked={asked} />
      <Paging before={before} nextBefore={value?.nextBefore ?? null} onTurn={setBefore} />
    </main>
  )
}

/** The history, narrowed by what its address asks for. Another filter begins at its newest. */
export function HistoryPage({ address }: { address: string }) {
  const { filter, problems } = readFilter(address)
  return <Found key={addressOf('', filter)} filter={filter} problems={problems} />
}
