import { findWords as say } from '../../words/en-find.ts'
import { conditionsOf, type Filter, type FilterName, hasChoices } from './filter-address.ts'

const isChoice = (value: string): value is keyof typeof say.choices => value in say.choices

const shown = (name: FilterName, value: string) =>
  hasChoices(name) && isChoice(value) ? say.choices[value] : value

/** What the list was narrowed by: each condition goes at a press. */
export function Conditions(props: { filter: Filter; onDrop: (name: FilterName) => void }) {
  const conditions = conditionsOf(props.filter)
  if (conditions.length === 0) return null
  return (
    <ul class="conditions" aria-label={say.conditions}>
      {conditions.map(([name, value]) => (
        <li key={name}>
          <button
            type="button"
            class="plain"
            aria-label={say.drop(say[name], shown(name, value))}
            onClick={() => props.onDrop(name)}
          >
            {say[name]}: <bdi>{shown(name, value)}</bdi> <span aria-hidden="true">×</span>
          </button>
        </li>
      ))}
    </ul>
  )
}
