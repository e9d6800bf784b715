import type { StationState } from '../../server/messages/live.ts'
import { allows, nextAct, PRESSED_ACTS } from '../live/allowed-acts.ts'
import { api } from '../live/api.ts'
import { attempt } from '../live/doing.ts'
import { words } from '../words/en.ts'
import { HoldButton } from './hold-button.tsx'

export function ActButtons({ state }: { state: StationState }) {
  const canGoAgain = state.result?.againDeg != null
  const next = nextAct(state)
  return (
    <fieldset class="acts" aria-label={words.acts.group}>
      {PRESSED_ACTS.map((act) => (
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
