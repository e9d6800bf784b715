import { useComputed } from '@preact/signals'
import { useState } from 'preact/hooks'
import { api } from '../../live/api.ts'
import { useStation } from '../../live/context.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { words } from '../../words/en.ts'
import { BendTable } from './bend-table.tsx'
import { FilterForm } from './filter-form.tsx'
import { type Filters, NO_FILTERS, queryOf } from './query.ts'

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

/** Every bend that was recorded, newest first. Looks again whenever a bend is recorded. */
export function HistoryPage() {
  const { state } = useStation()
  const [filters, setFilters] = useState<Filters>(NO_FILTERS)
  const [before, setBefore] = useState<number | null>(null)
  const newest = useComputed(() => state.value?.result?.bendId ?? null).value
  const query = queryOf(filters, before)
  const { value, problem } = useAnswer(`${query} ${newest}`, () => api.bends(query))
  const isFiltered = filters !== NO_FILTERS
  return (
    <main class="desk">
      <div class="record-head">
        <h1>{say.title}</h1>
        <p role="status">{value ? say.total(value.total) : ''}</p>
      </div>
      <FilterForm
        onFilter={(next) => {
          setFilters(next)
          setBefore(null)
        }}
      />
      <p class="form-refused" role="alert">
        {problem}
      </p>
      {value && value.bends.length === 0 && (
        <p class="desk-intro">{isFiltered ? say.none : say.empty}</p>
      )}
      {value && value.bends.length > 0 && <BendTable rows={value.bends} />}
      <p>
        <a class="plain" href="#/notebook">
          {say.importNotebook}
        </a>{' '}
        <a class="plain" href="#/people">
          {words.people.title}
        </a>
      </p>
      <Paging before={before} nextBefore={value?.nextBefore ?? null} onTurn={setBefore} />
    </main>
  )
}
