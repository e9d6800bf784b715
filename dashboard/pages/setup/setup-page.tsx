import type { StationState } from '../../../server/messages/live.ts'
import { api } from '../../live/api.ts'
import { useStation } from '../../live/context.ts'
import { settings } from '../../live/settings.ts'
import { benders } from '../../live/stations.ts'
import { useForm } from '../../live/use-form.ts'
import { Cautions } from '../../widgets/cautions.tsx'
import { Missing } from '../../widgets/missing.tsx'
import { words } from '../../words/en.ts'
import { length } from '../../words/format.ts'
import { sensorInHand } from '../sensor/mount-step.tsx'
import { BOAT_RAIL, type Field, fieldOf, problemsOf, readForm, textsOf } from './fields.ts'
import { SetupForm } from './setup-form.tsx'

/** Where a daemon has several benders, a set-up is of the one that is looked at. */
const ownName = ({ station }: StationState) => (benders.value.length > 1 ? { station } : {})

function useSetupForm(state: StationState) {
  const unit = settings.unit.value
  const show = (mm: number) => length(mm, unit)
  const first = () => ({
    ...textsOf(state.setup?.setup ?? null, state.job, show),
    ...ownName(state),
  })
  return useForm(first, {
    idOf: (field: Field) => field,
    problemsOf: (texts) => problemsOf(texts, unit),
    fieldOf,
    async send(texts) {
      const { setup, job } = readForm(texts, unit, sensorInHand(state))
      await api.useSetup(setup)
      await api.useJob(job)
      location.hash = '#/bend'
      return null
    },
  })
}

function Loaded({ state }: { state: StationState }) {
  const form = useSetupForm(state)
  const isFirst = state.setup === null || state.job === null
  return (
    <main class="desk setup">
      <h1>{words.setup.title}</h1>
      <p class="desk-intro">{isFirst ? words.setup.firstRun : words.setup.intro}</p>
      <Cautions />
      {state.bench && (
        <p class="example">
          <button
            type="button"
            class="plain"
            onClick={() => form.fill({ ...BOAT_RAIL, ...ownName(state) })}
          >
            {words.setup.example}
          </button>{' '}
          {words.setup.exampleHelp}
        </p>
      )}
      <SetupForm
        texts={form.texts}
        problems={form.problems}
        sentence={form.refusal}
        busy={form.isBusy}
        sensor={sensorInHand(state)}
        onText={form.change}
        onFill={form.fill}
        onSubmit={form.onSubmit}
      />
    </main>
  )
}

/** What is on the bender and what is to be bent. */
export function SetupPage() {
  const state = useStation().state.value
  if (state) return <Loaded state={state} />
  return (
    <main class="desk">
      <Missing />
    </main>
  )
}
