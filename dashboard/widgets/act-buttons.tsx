import type { OperatorAct } from '../../server/messages/commands.ts'
import type { Phase, StationState } from '../../server/messages/live.ts'
import { api } from '../live/api.ts'
import { attempt } from '../live/doing.ts'
import { words } from '../words/en.ts'
import { HoldButton } from './hold-button.tsx'

type Simple = Exclude<OperatorAct['act'], 'pedal' | 'abandon'>

const SIMPLE: readonly Simple[] = ['datum', 'accept', 'again']

/** What the moment allows. The daemon has the last word: a refusal is shown in its own sentence. */
export function allows(act: Simple | 'abandon', phase: Phase, canGoAgain: boolean): boolean {
  if (act === 'datum') return phase === 'no-datum' || phase === 'seated'
  if (act === 'abandon') return phase !== 'no-datum'
  if (phase !== 'settled') return false
  return act === 'accept' || canGoAgain
}

/** The one that the pedal would do now: drawn heavier, so that the eye finds it. */
function nextAct(state: StationState): Simple | null {
  if (state.phase === 'no-datum') return 'datum'
  if (state.phase !== 'settled' || !state.result) return null
  return state.result.verdict === 'under' && state.result.againDeg !== null ? 'again' : 'accept'
}

export function ActButtons({ state }: { state: StationState }) {
  const canGoAgain = state.result?.againDeg != null
  const next = nextAct(state)
  return (
    <fieldset class="acts" aria-label={words.acts.group}>
      {SIMPLE.map((act) => (
        <button
          type="button"
          key={act}
          class={act === next ? 'act act-next' : 'act'}
          disabled={!allows(act, state.phase, canGoAgain)}
          onClick={(event) => {
            // After a tap the pedal's key must speak to the page, not press this button again.
            if (event.detail > 0) event.currentTarget.blur()
            attempt(api.act(act))
          }}
        >
          <span class="act-name">{words.acts[act]}</span>
          <kbd class="act-key">{words.acts.keys[act]}</kbd>
        </button>
      ))}
      <HoldButton
        name={words.acts.abandon}
        hint={words.acts.abandonHold}
        disabled={!allows('abandon', state.phase, canGoAgain)}
        onHeld={() => attempt(api.act('abandon'))}
      />
    </fieldset>
  )
}
