import { useComputed } from '@preact/signals'
import { useEffect, useRef } from 'preact/hooks'
import { useStation } from '../live/context.ts'
import { eachFrame } from '../live/frame.ts'
import type { Freshness } from '../live/freshness.ts'
import { decimalsFor, stepToShow } from '../live/shown-angle.ts'
import { words } from '../words/en.ts'
import { slots } from '../words/format.ts'

/** A last digit that changes faster than this cannot be read. */
const DIGITS_EVERY_MS = 100
/** Hundreds (or the minus), tens, ones. */
const WHOLE_SLOTS = 3
/** Natural width is measured at this size; the rest is proportion. */
const TRIAL_PX = 100
/** Height of a line of digits over their font size, with the air they need. */
const LINE_OVER_FONT = 0.84

/** Makes the digits as large as their cell allows. */
function fitLine(cell: HTMLElement, line: HTMLElement) {
  line.style.fontSize = `${TRIAL_PX}px`
  const perPx = line.scrollWidth / TRIAL_PX
  const byWidth = cell.clientWidth / perPx
  const byHeight = cell.clientHeight / LINE_OVER_FONT
  line.style.fontSize = `${Math.max(TRIAL_PX / 2, Math.floor(Math.min(byWidth, byHeight)))}px`
}

function useFit(decimals: number) {
  const cell = useRef<HTMLDivElement>(null)
  const line = useRef<HTMLDivElement>(null)
  useEffect(() => {
    const [outer, inner] = [cell.current, line.current]
    if (!outer || !inner) return
    const observer = new ResizeObserver(() => fitLine(outer, inner))
    observer.observe(outer)
    return () => observer.disconnect()
  }, [decimals])
  return { cell, line }
}

/** The live angle. Its characters are written straight into the page, past the view library. */
export function Digits({ freshness }: { freshness: Freshness }) {
  const { state, latest } = useStation()
  const decimals = useComputed(() => decimalsFor(state.value?.uncertaintyDeg ?? null)).value
  const { cell, line } = useFit(decimals)
  const count = slots(0, decimals, WHOLE_SLOTS).length

  useEffect(() => {
    let shown: number | null = null
    let writtenMs = -Infinity
    return eachFrame((nowMs) => {
      const spans = line.current?.children
      if (!spans || nowMs - writtenMs < DIGITS_EVERY_MS || Number.isNaN(latest.angleDeg)) return
      const next = stepToShow(latest.angleDeg, decimals, shown)
      if (next === shown) return
      shown = next
      writtenMs = nowMs
      slots(next, decimals, WHOLE_SLOTS)
        .slice(-count)
        .forEach((text, i) => {
          const span = spans[i]
          if (span && span.textContent !== text) span.textContent = text
        })
    })
  }, [latest, decimals, line, count])

  return (
    <div class="digits" data-freshness={freshness} ref={cell}>
      <div
        class="digits-line"
        role="timer"
        aria-live="off"
        aria-label={words.digits.label}
        ref={line}
      >
        {Array.from({ length: count }, (_, i) => (
          <span class={i === WHOLE_SLOTS ? 'slot slot-point' : 'slot'} key={i} />
        ))}
        <span class="degree">°</span>
      </div>
    </div>
  )
}
