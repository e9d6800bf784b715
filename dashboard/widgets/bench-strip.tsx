import type { BenchAct } from '../../server/messages/commands.ts'
import type { BenchState } from '../../server/messages/live.ts'
import { api } from '../live/api.ts'
import { attempt } from '../live/doing.ts'
import { words } from '../words/en.ts'

const MODES = ['self', 'hand'] as const

const ask = (act: BenchAct) => attempt(api.bench(act))

/** Held to work the ram, let go to stop it: what the lever of a real valve does. */
function RamButton({ disabled }: { disabled: boolean }) {
  const isKey = (event: KeyboardEvent) => event.key === 'Enter' || event.key === ' '
  const advance = () => ask({ ram: 'advance' })
  const hold = () => ask({ ram: 'hold' })
  return (
    <button
      type="button"
      class="act"
      disabled={disabled}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId)
        advance()
      }}
      onPointerUp={hold}
      onPointerCancel={hold}
      onKeyDown={(event) => isKey(event) && !event.repeat && advance()}
      onKeyUp={(event) => isKey(event) && hold()}
      onContextMenu={(event) => event.preventDefault()}
    >
      <span class="act-name">{words.bench.ram}</span>
      <span class="act-key">{words.bench.ramHold}</span>
    </button>
  )
}

/** The built-in bench: let it bend by itself, or work its ram by hand. Real benders have no such strip. */
export function BenchStrip({ bench }: { bench: BenchState }) {
  const byHand = bench.mode === 'hand'
  return (
    <section class="bench" aria-label={words.bench.title}>
      <h2>{words.bench.title}</h2>
      <fieldset class="bench-modes" aria-label={words.bench.mode}>
        {MODES.map((mode) => (
          <button
            type="button"
            key={mode}
            class="mode"
            aria-pressed={bench.mode === mode}
            onClick={(event) => {
              if (event.detail > 0) event.currentTarget.blur()
              ask({ mode })
            }}
          >
            {words.bench[mode]}
          </button>
        ))}
      </fieldset>
      <RamButton disabled={!byHand} />
      <button
        type="button"
        class="act"
        disabled={!byHand}
        onClick={(event) => {
          if (event.detail > 0) event.currentTarget.blur()
          ask({ ram: 'retract' })
        }}
      >
        <span class="act-name">{words.bench.letOff}</span>
      </button>
    </section>
  )
}
