import { useEffect, useRef, useState } from 'preact/hooks'

/** Long enough that a glove leaning on the screen gives nothing up. */
const HOLD_MS = 800

/** A button that acts only when held for 0.8 s, by finger or by key. */
export function HoldButton(props: {
  name: string
  hint: string
  disabled: boolean
  onHeld: () => void
}) {
  const [holding, setHolding] = useState(false)
  const timer = useRef(0)
  const release = () => {
    clearTimeout(timer.current)
    setHolding(false)
  }
  const press = () => {
    clearTimeout(timer.current)
    setHolding(true)
    timer.current = setTimeout(() => {
      release()
      props.onHeld()
    }, HOLD_MS)
  }
  useEffect(() => () => clearTimeout(timer.current), [])
  const isKey = (event: KeyboardEvent) => event.key === 'Enter' || event.key === ' '
  return (
    <button
      type="button"
      class={holding ? 'act act-hold act-holding' : 'act act-hold'}
      disabled={props.disabled}
      onPointerDown={press}
      onPointerUp={release}
      onPointerLeave={release}
      onPointerCancel={release}
      onBlur={release}
      onKeyDown={(event) => isKey(event) && !event.repeat && press()}
      onKeyUp={release}
      onContextMenu={(event) => event.preventDefault()}
    >
      <span class="act-name">{props.name}</span>
      <span class="act-key">{props.hint}</span>
    </button>
  )
}
