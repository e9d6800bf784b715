import { useState } from 'preact/hooks'
import { ChoiceField, TextField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'
import { type Filter, type Filters, NO_FILTERS } from './query.ts'

const { history: say } = words

const VERDICTS = [
  { key: '', name: say.any },
  ...(['in', 'under', 'over', 'incomplete'] as const).map((key) => ({
    key,
    name: say.verdicts[key],
  })),
]

function DayField(props: { id: string; label: string; value: string; onText(text: string): void }) {
  return (
    <div class="field">
      <label for={props.id}>{props.label}</label>
      <input
        id={props.id}
        type="date"
        value={props.value}
        onInput={(event) => props.onText(event.currentTarget.value)}
      />
    </div>
  )
}

/** Narrows the history; nothing is asked until the form is sent. */
export function FilterForm({ onFilter }: { onFilter: (filters: Filters) => void }) {
  const [filters, setFilters] = useState(NO_FILTERS)
  const bound = (name: Filter) => ({
    id: `filter-${name}`,
    label: say[name],
    value: filters[name],
    onText: (text: string) => setFilters((before) => ({ ...before, [name]: text })),
  })
  return (
    <form
      class="filter"
      onSubmit={(event) => {
        event.preventDefault()
        onFilter(filters)
      }}
    >
      <TextField {...bound('part')} />
      <TextField {...bound('lot')} />
      <TextField {...bound('operator')} />
      <ChoiceField {...bound('verdict')} choices={VERDICTS} />
      <DayField {...bound('from')} />
      <DayField {...bound('to')} />
      <button type="submit" class="plain">
        {say.filter}
      </button>
      <button
        type="button"
        class="plain"
        onClick={() => {
          setFilters(NO_FILTERS)
          onFilter(NO_FILTERS)
        }}
      >
        {say.clear}
      </button>
    </form>
  )
}
