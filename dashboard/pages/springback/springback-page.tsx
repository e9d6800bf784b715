import { useComputed } from '@preact/signals'
import { useState } from 'preact/hooks'
import type { SpringbackView } from '../../../server/messages/springback.ts'
import { api } from '../../live/api.ts'
import { useStation } from '../../live/context.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { FactSheet } from '../../widgets/fact-sheet.tsx'
import { words } from '../../words/en.ts'
import { DecideForm, type Deciding } from './decide-form.tsx'
import { lawFacts } from './law-facts.ts'
import { LotsTable } from './lots-table.tsx'
import { PointsTable } from './points-table.tsx'
import { SpringbackChart } from './springback-chart.tsx'
import { StepsTable } from './steps-table.tsx'

const { springback: say } = words

/** Changes whenever what is known may have: a bend, another set-up, another wanted angle. */
function useMoment(): string {
  const { state } = useStation()
  return useComputed(() => {
    const { setup, job, result, simulated } = state.value ?? {}
    return [setup?.id, job?.wantedDeg, result?.bendId, simulated].join(' ')
  }).value
}

function Head({ view }: { view: SpringbackView }) {
  const { station, die, tube } = view.setup.setup
  return (
    <>
      <div class="record-head">
        <h1>{say.title}</h1>
        <p>
          {say.of(tube.lot, die.name, station)}
          {view.isInUse && <em class="in-use">{say.inUse}</em>}
        </p>
      </div>
      {view.simulated && <p class="record-simulated">{say.simulated}</p>}
      <ul class="plain-words">
        {view.sentences.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
    </>
  )
}

/** Its bends, and what a person decides of them. */
function Bends({ view, onDecided }: { view: SpringbackView; onDecided: () => void }) {
  const who = useStation().state.value?.job?.operator ?? ''
  const [deciding, setDeciding] = useState<Deciding | null>(null)
  const [said, setSaid] = useState('')
  return (
    <section>
      <h2>{say.bends.title}</h2>
      <p role="status" class="springback-note">
        {said}
      </p>
      {deciding && (
        <DecideForm
          key={`${deciding.bendId} ${deciding.decision}`}
          deciding={deciding}
          who={who}
          onCancel={() => setDeciding(null)}
          onDone={(bendId) => {
            setDeciding(null)
            setSaid(say.decide.done(bendId))
            onDecided()
          }}
        />
      )}
      <PointsTable
        view={view}
        onDecide={(next) => {
          setSaid('')
          setDeciding(next)
        }}
      />
    </section>
  )
}

function Known({ view, onDecided }: { view: SpringbackView; onDecided: () => void }) {
  return (
    <>
      <Head view={view} />
      <div class="springback-sheet">
        <SpringbackChart view={view} />
        <div>
          <StepsTable view={view} />
          <section>
            <h2>{say.law.title}</h2>
            <FactSheet facts={lawFacts(view.law)} />
            <p class="springback-note">{say.law.deviation}</p>
          </section>
        </div>
      </div>
      <Bends view={view} onDecided={onDecided} />
    </>
  )
}

/** Nothing is set up, or nothing can be read. */
function NothingKnown({ problem }: { problem: string | null }) {
  const isToDo = useStation().state.value?.setup === null
  return (
    <>
      <h1>{say.title}</h1>
      <p class={isToDo ? 'desk-intro' : 'form-refused'} role="alert">
        {problem}
      </p>
      {isToDo && (
        <p class="record-links">
          <a class="plain" href="#/setup">
            {say.toSetup}
          </a>
        </p>
      )}
    </>
  )
}

/** What the shop's bends have taught of springback: of one set-up, and lot by lot. `setupId` null: in use. */
export function SpringbackPage({ setupId }: { setupId: number | null }) {
  const [decisions, setDecisions] = useState(0)
  const moment = `${useMoment()} ${decisions}`
  const { value, problem } = useAnswer(`springback ${setupId} ${moment}`, () =>
    api.springback(setupId),
  )
  const lots = useAnswer(`lots ${moment}`, () => api.lots())
  return (
    <main class="desk springback">
      {value ? (
        <Known view={value} onDecided={() => setDecisions((count) => count + 1)} />
      ) : (
        <NothingKnown problem={problem} />
      )}
      <section>
        <h2>{say.lots.title}</h2>
        {lots.problem && lots.problem !== problem && <p class="form-refused">{lots.problem}</p>}
        {lots.value && <LotsTable lots={lots.value} shownId={value?.setup.id ?? null} />}
      </section>
      {setupId !== null && (
        <p class="record-links">
          <a class="plain" href="#/springback">
            {say.toInUse}
          </a>
        </p>
      )}
    </main>
  )
}
