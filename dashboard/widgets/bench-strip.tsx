import { useRef } from 'preact/hooks'
import type { BenchAct } from '../../server/messages/commands.ts'
import type { BenchState } from '../../server/messages/live.ts'
import { api } from '../live/api.ts'
import { attempt } from '../live/doing.ts'
import { words } from '../words/en.ts'

const MODES = ['self', 'hand'] as const

/** One order after the other: a short tap's "hold" must not overtake its "advance" on the network. */
function useOrders() {
  const last = useRef<Promise<unknown>>(Promise.resolve())
  return (act: BenchAct) => {
    last.current = last.current.catch(() => undefined).then(() => api.bench(act))
    attempt(last.current)
  }
}

type Order = ReturnType<typeof useOrders>

/** Held to work the ram, let go to stop it: what the lever of a real valve does. */
function RamButton(props: { disabled: boolean; hint: string; order: Order }) {
  const isHeld = useRef(false)
  const isKey = (event: KeyboardEvent) => event.key === 'Enter' || event.key === ' '
  const advance = () => {
    isHeld.current = true
    props.order({ ram: 'advance' })
  }
  const hold = () => {
    if (!isHeld.current) return
    isHeld.current = false
    props.order({ ram: 'hold' })
  }
  return (
    <button
      type="button"
      class="act ram"
      disabled={props.disabled}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId)
        advance()
      }}
      onPointerUp={hold}
      onPointerCancel={hold}
      onLostPointerCapture={hold}
      onBlur={hold}
      onKeyDown={(event) => isKey(event) && !event.repeat && advance()}
      onKeyUp={(event) => isKey(event) && hold()}
      onContextMenu={(event) => event.preventDefault()}
    >
      <span class="act-name">{words.bench.ram}</span>
      <span class="act-key">{props.hint}</span>
    </button>
  )
}

/** The built-in bench: let it bend by itself, or work its ram by hand. Real benders have no such strip. */
export function BenchStrip({ bench, connected }: { bench: BenchState; connected: boolean }) {
  const order = useOrders()
  const byHand = bench.mode === 'hand'
  const isReady = connected && byHand && bench.ready
  return (
    <section class="bench" aria-label={words.bench.title}>
      <h2>{words.bench.title}</h2>
      <fieldset class="bench-modes" aria-label={words.bench.mode}>
        {MODES.map((mode) => (
          <button
            type="button"
            key={mode}
            class="mode"
            disabled={!connected}
            aria-pressed={bench.mode === mode}
            onClick={(event) => {
              if (event.detail > 0) event.currentTarget.blur()
              order({ mode })
            }}
          >
            {words.bench[mode]}
          </button>
        ))}
      </fieldset>
      <RamButton
        disabled={!isReady}
        hint={byHand && !bench.ready ? words.bench.tubeComes : words.bench.ramHold}
        order={order}
      />
      <button
        type="button"
        class="act"
        disabled={!isReady}
        onClick={(event) => {
          if (event.detail > 0) event.currentTarget.blur()
          order({ ram: 'retract' })
        }}
      >
        <span class="act-name">{words.bench.letOff}</span>
      </button>
    </section>
  )
}
