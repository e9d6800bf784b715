import { useComputed } from '@preact/signals'
import { useEffect, useRef } from 'preact/hooks'
import { useStation } from '../../live/context.ts'
import { eachFrame } from '../../live/frame.ts'
import { words } from '../../words/en.ts'
import { expanded, fixed } from '../../words/format.ts'

const TEXT_EVERY_MS = 100
/** Older than this an angle is not what the sensor sees now. */
const STALE_MS = 1000

/** The angle now, and which way it goes, while the die is turned by hand. */
export function LiveAngle({ label }: { label: string }) {
  const { state, latest } = useStation()
  const uncertaintyDeg = useComputed(() => state.value?.uncertaintyDeg ?? null).value
  const digits = useRef<HTMLOutputElement>(null)
  useEffect(() => {
    let writtenMs = -Infinity
    return eachFrame((nowMs) => {
      if (nowMs - writtenMs < TEXT_EVERY_MS || !digits.current) return
      writtenMs = nowMs
      const isFresh = nowMs - latest.arrivedMs < STALE_MS
      digits.current.textContent = isFresh ? `${fixed(latest.angleDeg, 1)}°` : words.facts.none
    })
  }, [latest])
  return (
    <p class="live-angle">
      <span>{label}</span> <output aria-live="off" ref={digits} />
      {uncertaintyDeg !== null && <small> {expanded(uncertaintyDeg)}°</small>}
    </p>
  )
}
