import { useEffect, useRef } from 'preact/hooks'
import { useStation } from '../live/context.ts'
import { eachFrame } from '../live/frame.ts'
import { whatIsMissing } from '../live/what-is-missing.ts'
import { words } from '../words/en.ts'

/** Stands where the digits stood: what is missing, why, what to do, and how old the last angle is. */
export function Missing() {
  const { state, socket, latest } = useStation()
  const age = useRef<HTMLParagraphElement>(null)
  const { what, todo } = whatIsMissing(socket.value, state.value?.link ?? null, latest.quality)

  useEffect(
    () =>
      eachFrame(() => {
        const ageS = Math.floor((performance.now() - latest.arrivedMs) / 1000)
        const text = Number.isFinite(ageS) ? words.lost.sinceS(String(ageS)) : words.lost.noAngle
        if (age.current && age.current.textContent !== text) age.current.textContent = text
      }),
    [latest],
  )

  return (
    <div class="missing">
      <p class="missing-what">{what}</p>
      <p class="missing-todo">{todo}</p>
      <p class="missing-age" aria-live="off" ref={age} />
    </div>
  )
}
