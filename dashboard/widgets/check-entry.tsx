import { useState } from 'preact/hooks'
import type { StationState } from '../../server/messages/live.ts'
import { api } from '../live/api.ts'
import { attempt } from '../live/doing.ts'
import { words } from '../words/en.ts'
import { parseNumber } from '../words/parse-length.ts'

/** What an angle finder shows on the tube that was let off, or that the arm touches it again. */
export function CheckEntry({ state, connected }: { state: StationState; connected: boolean }) {
  const [text, setText] = useState('')
  const { phase, result } = state
  if (phase !== 'settled' || result === null || result.bendId !== null) return null
  const checkedDeg = parseNumber(text)
  return (
    <form
      class="check-entry"
      onSubmit={(event) => {
        event.preventDefault()
        if (checkedDeg === null) return
        attempt(api.check(checkedDeg))
        setText('')
        // The pedal's key must speak to the page again, not to this line.
        ;(document.activeElement as HTMLElement | null)?.blur()
      }}
    >
      {result.go.releasedFrom === 'unknown' && (
        <button
          type="button"
          class="plain"
          disabled={!connected}
          onClick={() => attempt(api.act('touch'))}
        >
          {words.check.touch}
        </button>
      )}
      <input
        aria-label={words.check.label}
        placeholder={words.check.label}
        inputMode="decimal"
        maxLength={8}
        value={text}
        onInput={(event) => setText(event.currentTarget.value)}
      />
      <button type="submit" class="plain" disabled={!connected || checkedDeg === null}>
        {words.check.enter}
      </button>
    </form>
  )
}
