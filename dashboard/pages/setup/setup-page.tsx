import { useState } from 'preact/hooks'
import type { StationState } from '../../../server/messages/live.ts'
import { ApiError, api, sentenceOf } from '../../live/api.ts'
import { useStation } from '../../live/context.ts'
import { settings } from '../../live/settings.ts'
import { Cautions } from '../../widgets/cautions.tsx'
import { Missing } from '../../widgets/missing.tsx'
import { words } from '../../words/en.ts'
import { length } from '../../words/format.ts'
import { sensorInHand } from '../sensor/mount-step.tsx'
import {
  BOAT_RAIL,
  type Field,
  fieldOf,
  type Problems,
  problemsOf,
  readForm,
  type Texts,
  textsOf,
} from './fields.ts'
import { SetupForm } from './setup-form.tsx'

/** What the daemon said no to: beside its field where the form has it, else over the form. */
type Refused = { readonly problems: Problems; readonly sentence: string | null }

function refusedBy(error: unknown): Refused {
  if (!(error instanceof ApiError)) return { problems: {}, sentence: sentenceOf(error) }
  const field = fieldOf(error.field)
  return field === null
    ? { problems: {}, sentence: error.message }
    : { problems: { [field]: error.message }, sentence: null }
}

const NOTHING: Refused = { problems: {}, sentence: null }

function useSetupForm(state: StationState) {
  const unit = settings.unit.value
  const show = (mm: number) => length(mm, unit)
  const [texts, setTexts] = useState<Texts>(() =>
    textsOf(state.setup?.setup ?? null, state.job, show),
  )
  const [refused, setRefused] = useState(NOTHING)
  const [busy, setBusy] = useState(false)

  async function send(): Promise<void> {
    const problems = problemsOf(texts, unit)
    setRefused({ problems, sentence: null })
    const [first] = Object.keys(problems)
    if (first) {
      document.getElementById(first)?.focus()
      return
    }
    setBusy(true)
    try {
      const { setup, job } = readForm(texts, unit, sensorInHand(state))
      await api.useSetup(setup)
      await api.useJob(job)
      location.hash = '#/bend'
    } catch (error) {
      setRefused(refusedBy(error))
    } finally {
      setBusy(false)
    }
  }

  return {
    texts,
    refused,
    busy,
    send,
    fill: setTexts,
    change: (field: Field, text: string) => setTexts((before) => ({ ...before, [field]: text })),
  }
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
          <button type="button" class="plain" onClick={() => form.fill(BOAT_RAIL)}>
            {words.setup.example}
          </button>{' '}
          {words.setup.exampleHelp}
        </p>
      )}
      <SetupForm
        texts={form.texts}
        problems={form.refused.problems}
        sentence={form.refused.sentence}
        busy={form.busy}
        sensor={sensorInHand(state)}
        onText={form.change}
        onSend={() => void form.send()}
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
