import { api } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { chartWords as say } from '../../words/en-charts.ts'
import { Conditions } from '../history/conditions.tsx'
import {
  addressOf,
  type Filter,
  type FilterName,
  queryOfFilter,
  readFilter,
} from '../history/filter-address.ts'
import { ErrorCharts } from './error-charts.tsx'
import { Capability, Causes, Lots } from './figures.tsx'
import { MixedProcesses } from './mixed.tsx'

const HERE = '#/history/charts'

/** Says how many of these bends no tube was bent for, and leads to the others. */
function Simulated({ filter, total }: { filter: Filter; total: number }) {
  const query = queryOfFilter({ ...filter, simulated: 'yes' })
  const { value } = useAnswer(`simulated ${query} ${total}`, () => api.bendSummary(query))
  if (!value || value.total === 0) return null
  return (
    <p class="act-said">
      {say.simulated(value.total, total)}{' '}
      {value.total < total && (
        <a href={addressOf(HERE, { ...filter, simulated: 'no' })}>{say.withoutSimulated}</a>
      )}
    </p>
  )
}

/** Charts of all bends that the address asks for; each point opens its bend. */
export function ChartsPage({ address }: { address: string }) {
  const { filter, problems } = readFilter(address)
  const query = queryOfFilter(filter)
  const { value, problem, isOld } = useAnswer(`charts ${query}`, () => api.bendCharts(query))
  const drop = (name: FilterName) => {
    location.hash = addressOf(HERE, { ...filter, [name]: '' })
  }
  return (
    <main class="desk charts">
      <p class="record-links">
        <a class="plain" href={addressOf('#/history', filter)}>
          {say.back}
        </a>
        <button type="button" class="plain" onClick={() => print()}>
          {say.print}
        </button>
      </p>
      <h1>{say.title}</h1>
      <p class="form-refused" role="alert">
        {[...problems, ...(problem === null ? [] : [problem])].join(' ')}
      </p>
      <Conditions filter={filter} onDrop={drop} />
      {query.size === 0 && <p>{say.every}</p>}
      <div class="found" aria-busy={isOld}>
        {value && (
          <p role="status">
            {say.counted(value.error?.n ?? 0, value.unmeasured, value.voided.count)}
          </p>
        )}
        {value && filter.simulated !== 'no' && <Simulated filter={filter} total={value.total} />}
        {value && value.error === null && <p class="desk-intro">{say.none}</p>}
        {value?.error && (
          <>
            <MixedProcesses mixed={value.error.mixed} filter={filter} here={HERE} />
            <ErrorCharts error={value.error} voided={value.voided} />
            <h2>{say.capability}</h2>
            <Capability error={value.error} />
            <h2>{say.lots}</h2>
            <Lots lots={value.lots} leftOut={value.lotsLeftOut} />
            <h2>{say.causes}</h2>
            <Causes causes={value.causes} readout={value.readout} />
          </>
        )}
      </div>
    </main>
  )
}
