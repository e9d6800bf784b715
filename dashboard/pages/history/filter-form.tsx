import { useEffect, useState } from 'preact/hooks'
import type { KnownNames } from '../../../server/messages/find.ts'
import { FILTER_CHOICES, FILTER_TEXT_MAX } from '../../../server/messages/find-choices.ts'
import { useWide } from '../../live/use-wide.ts'
import { ChoiceField, TextField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'
import { findWords as say } from '../../words/en-find.ts'
import {
  addressOf,
  conditionsOf,
  type Filter,
  type FilterName,
  hasChoices,
  isNamed,
  SELDOM,
  USUAL,
} from './filter-address.ts'

interface Bound {
  readonly id: string
  readonly label: string
  readonly value: string
  readonly onText: (text: string) => void
}

function DayField({ id, label, value, onText }: Bound) {
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="date"
        value={value}
        onInput={(event) => onText(event.currentTarget.value)}
      />
    </div>
  )
}

const choicesOf = (name: keyof typeof FILTER_CHOICES) => [
  { key: '', name: say.any },
  ...FILTER_CHOICES[name].map((key) => ({ key, name: say.choices[key] })),
]

/** The field of one condition: a choice, a day, or a line with the names that the history knows. */
function ConditionField(props: Bound & { name: FilterName; names: KnownNames | null }) {
  const { name, names, ...bound } = props
  if (hasChoices(name)) return <ChoiceField {...bound} choices={choicesOf(name)} />
  if (name === 'firstDay' || name === 'lastDay') return <DayField {...bound} />
  if (name === 'piece' || name === 'daysBack') return <TextField {...bound} numeric />
  if (isNamed(name)) return <TextField {...bound} offered={names?.[name] ?? []} />
  return <TextField {...bound} lengthMax={FILTER_TEXT_MAX} />
}

/** Narrows the history; nothing is asked until the form is sent. The fields that few use are there when asked for. */
export function FilterForm(props: {
  filter: Filter
  names: KnownNames | null
  onFilter: (filter: Filter) => void
}) {
  const { filter, names, onFilter } = props
  const [typed, setTyped] = useState(filter)
  const isWide = useWide()
  // Another filter came in, by an address say: the fields show it, and whoever is in one of them stays there.
  useEffect(() => setTyped(filter), [addressOf('', filter)])
  const isSeldomSet = conditionsOf(filter).some(([name]) => SELDOM.some((one) => one === name))
  const field = (name: FilterName) => (
    <ConditionField
      key={name}
      name={name}
      names={names}
      id={`filter-${name}`}
      label={say[name]}
      value={typed[name] ?? ''}
      onText={(text) => setTyped((before) => ({ ...before, [name]: text }))}
    />
  )
  return (
    <details class="filter-fold" open={isWide}>
      <summary>{say.look}</summary>
      <form
        class="filter"
        onSubmit={(event) => {
          event.preventDefault()
          onFilter(typed)
        }}
      >
        {USUAL.map(field)}
        <details class="filter-more" open={isSeldomSet}>
          <summary>{say.more}</summary>
          <div class="filter">{SELDOM.map(field)}</div>
        </details>
        <button type="submit" class="plain">
          {words.history.filter}
        </button>
        <button
          type="button"
          class="plain"
          onClick={() => {
            setTyped({})
            onFilter({})
          }}
        >
          {words.history.clear}
        </button>
      </form>
    </details>
  )
}
