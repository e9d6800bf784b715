import { useEffect, useLayoutEffect } from 'preact/hooks'
import type { StationState } from '../../../server/messages/live.ts'
import { dueFor } from '../../../server/quality/sampling-plan.ts'
import { api } from '../../live/api.ts'
import { useStation } from '../../live/context.ts'
import { attempt } from '../../live/doing.ts'
import { eachFrame } from '../../live/frame.ts'
import { actOfKey } from '../../live/keys.ts'
import { hear } from '../../live/sound.ts'
import { soundFor } from '../../live/tick-plan.ts'
import { useFreshness } from '../../live/use-freshness.ts'
import { fieldFor, whatToDo } from '../../live/what-to-do.ts'
import { ActButtons } from '../../widgets/act-buttons.tsx'
import { Announcer } from '../../widgets/announcer.tsx'
import { BenchStrip } from '../../widgets/bench-strip.tsx'
import { CheckEntry } from '../../widgets/check-entry.tsx'
import { CueWord } from '../../widgets/cue-word.tsx'
import { Digits } from '../../widgets/digits.tsx'
import { Facts } from '../../widgets/facts.tsx'
import { LiveTrace } from '../../widgets/live-trace.tsx'
import { Missing } from '../../widgets/missing.tsx'
import { TitleBlock } from '../../widgets/title-block.tsx'
import { TubeDrawing } from '../../widgets/tube-drawing.tsx'
import { words } from '../../words/en.ts'

/** Where this go is to stop; once it is let off, where it was to stop. */
function commandedOf({ aim, result, phase }: StationState): number | null {
  if (phase === 'settled' && result && !result.goingAgain) return result.go.commandedDeg
  return aim?.commandedDeg ?? null
}

/** One key or pedal does what the moment calls for, unless a control of the page has the key. */
function useKeys(connected: boolean) {
  useEffect(() => {
    if (!connected) return
    const onKey = (event: KeyboardEvent) => {
      const control = (event.target as Element | null)?.closest('button, a, input, select')
      const act = actOfKey(event, control != null)
      if (!act) return
      event.preventDefault()
      attempt(api.act(act))
    }
    addEventListener('keydown', onKey)
    return () => removeEventListener('keydown', onKey)
  }, [connected])
}

function useSound(commandedDeg: number | null) {
  const { state, cue, latest } = useStation()
  useEffect(
    () =>
      eachFrame(() => {
        const phase = state.value?.phase ?? 'no-datum'
        const isFresh = performance.now() - latest.arrivedMs < 1000
        const toGoDeg = commandedDeg === null ? Infinity : commandedDeg - latest.angleDeg
        hear(isFresh ? soundFor(phase, cue.value, toGoDeg) : { kind: 'quiet' })
      }),
    [state, cue, latest, commandedDeg],
  )
}

/** The whole page turns over at the stop, not this page's part of it only. */
function useField(field: string) {
  useLayoutEffect(() => {
    document.documentElement.dataset['field'] = field
    return () => {
      delete document.documentElement.dataset['field']
    }
  }, [field])
}

function whyOf(state: StationState): string {
  const { phase, result, aim } = state
  const learned = (phase === 'settled' || phase === 'no-datum') && result?.learnedWhy
  if (!learned) return aim?.why ?? ''
  return phase === 'no-datum' && aim ? `${learned} ${aim.why}` : learned
}

/** Once a bend stands, whether the plan wants it measured by hand. */
function dueText({ phase, result, job }: StationState): string | null {
  const stands = phase === 'settled' && result !== null && !result.goingAgain
  const why = stands && job !== null ? dueFor(job.piece, job.sampling) : null
  return why === null ? null : words.plan.measureThis(why)
}

function Caption({ state }: { state: StationState }) {
  const { job } = state
  if (!job) return <p class="caption" />
  return (
    <p class="caption">
      <b>{job.part}</b> {words.bendOf(job.piece, job.bendNumber)}
      {words.goOf(state.goNumber)}
      {state.simulated && <span class="simulated">{words.block.simulated}</span>}
    </p>
  )
}

function Sheet({ state }: { state: StationState }) {
  const { cue, socket } = useStation()
  const freshness = useFreshness().value
  const connected = socket.value === 'open'
  const isFresh = freshness !== 'gone' && connected && state.link.state === 'live'
  const commandedDeg = commandedOf(state)
  const field = isFresh ? fieldFor(state.phase, cue.value) : 'calm'
  const { phase, result } = state
  const due = dueText(state)
  const instruction = whatToDo({ phase, cue: cue.value, result, fresh: isFresh })
  useField(field)
  useKeys(connected)
  useSound(commandedDeg)
  return (
    <main class="bend" data-bench={state.bench ? 'yes' : 'no'}>
      <h1 class="for-the-ear">{words.pages.bend}</h1>
      <section class="sheet-left">
        <Caption state={state} />
        <TubeDrawing {...{ state, commandedDeg, freshness: isFresh ? freshness : 'gone' }} />
        <LiveTrace {...{ state, commandedDeg, field }} />
        {state.bench && <BenchStrip {...{ bench: state.bench, connected }} />}
      </section>
      <section class="sheet-right">
        <CueWord instruction={instruction} />
        <div class="angle">
          {isFresh ? <Digits {...{ freshness, commandedDeg }} /> : <Missing />}
        </div>
        <Facts commandedDeg={commandedDeg} fresh={isFresh} />
        <div class="why-row">
          <p class="why">
            {due !== null && <b>{due} </b>}
            {whyOf(state)}
          </p>
          <CheckEntry {...{ state, connected }} />
        </div>
        <ActButtons {...{ state, connected }} />
      </section>
      <TitleBlock state={state} />
      <Announcer {...{ instruction, fresh: isFresh }} />
    </main>
  )
}

/** The operator's page. With nothing set up it leads to the set-up. */
export function BendPage() {
  const { state } = useStation()
  const now = state.value
  const isReady = now !== null && now.setup !== null && now.job !== null
  useEffect(() => {
    if (now !== null && !isReady) location.hash = '#/setup'
  }, [now, isReady])
  if (!isReady)
    return (
      <main class="bend bend-empty">
        <Missing />
      </main>
    )
  return <Sheet state={now} />
}
