import { focusSoon, STATUS_LINE } from '../../live/focus-soon.ts'
import { findWords as say } from '../../words/en-find.ts'
import { conditionText } from './condition-text.ts'
import { conditionsOf, type Filter, type FilterName } from './filter-address.ts'

const idOf = (name: FilterName) => `condition-${name}`

/** What the list was narrowed by: each condition goes at a press, and the focus goes on to the next one. */
export function Conditions(props: { filter: Filter; onDrop: (name: FilterName) => void }) {
  const conditions = conditionsOf(props.filter)
  if (conditions.length === 0) return null
  function drop(name: FilterName, at: number): void {
    const [next] = conditions[at + 1] ?? conditions[at - 1] ?? []
    props.onDrop(name)
    focusSoon(...(next ? [`#${idOf(next)}`] : []), STATUS_LINE)
  }
  return (
    <ul class="conditions" aria-label={say.conditions}>
      {conditions.map(([name, value], at) => (
        <li key={name}>
          <button
            id={idOf(name)}
            type="button"
            class="plain"
            aria-label={say.drop(say[name], conditionText(name, value))}
            onClick={() => drop(name, at)}
          >
            {say[name]}: <bdi>{conditionText(name, value)}</bdi> <span aria-hidden="true">×</span>
          </button>
        </li>
      ))}
    </ul>
  )
}
