import type { StationState } from '../../server/messages/live.ts'
import { allows, nextAct, PRESSED_ACTS, type PressedAct } from '../live/allowed-acts.ts'
import { api } from '../live/api.ts'
import { attempt } from '../live/doing.ts'
import { words } from '../words/en.ts'
import { HoldButton } from './hold-button.tsx'

/** A part that is out of tolerance is put on record, not accepted: the same act under another name. */
const nameOf = (act: PressedAct, { phase, result }: StationState) =>
  act === 'accept' && phase === 'settled' && result && result.verdict !== 'in' ? 'record' : act

/** `connected` false: nobody would hear it. */
export function ActButtons({ state, connected }: { state: StationState; connected: boolean }) {
  const canGoAgain = state.result?.againDeg != null
  const next = nextAct(state)
  return (
    <fieldset class="acts" aria-label={words.acts.group}>
      {PRESSED_ACTS.map((act) => (
        <button
          type="button"
          key={act}
          class={act === next ? 'act act-next' : 'act'}
          disabled={!(connected && allows(act, state.phase, canGoAgain))}
          onClick={(event) => {
            // After a tap the pedal's key must speak to the page, not press this button again.
            if (event.detail > 0) event.currentTarget.blur()
            attempt(api.act(act))
          }}
        >
          <span class="act-name">{words.acts[nameOf(act, state)]}</span>
          <kbd class="act-key">{words.acts.keys[nameOf(act, state)]}</kbd>
        </button>
      ))}
      <HoldButton
        name={words.acts.abandon}
        hint={words.acts.abandonHold}
        disabled={!(connected && allows('abandon', state.phase, canGoAgain))}
        onHeld={() => attempt(api.act('abandon'))}
      />
    </fieldset>
  )
}
