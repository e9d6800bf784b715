import { type ReadonlySignal, useComputed, useSignal } from '@preact/signals'
import { useLayoutEffect, useRef } from 'preact/hooks'
import type { Phase } from '../../server/messages/live.ts'
import { useStation } from '../live/context.ts'
import { eachFrame } from '../live/frame.ts'
import type { Freshness } from '../live/freshness.ts'
import { decimalsFor, stepToShow } from '../live/shown-angle.ts'
import { words } from '../words/en.ts'
import { slots, wholeSlotsFor } from '../words/format.ts'
import { DoubtTag } from './doubt-tag.tsx'

/** A last digit that changes faster than this cannot be read. */
const DIGITS_EVERY_MS = 100
/** Natural width is measured at this size; the rest is proportion. */
const TRIAL_PX = 100
/** Height of a line of digits over their font size, with the air they need. */
const LINE_OVER_FONT = 0.82
/** A bend may be taken this far past its stop before the digits need another place. */
const PAST_DEG = 4

/** Makes the digits as large as their cell allows. */
function fitLine(cell: HTMLElement, line: HTMLElement) {
  line.style.fontSize = `${TRIAL_PX}px`
  const perPx = line.scrollWidth / TRIAL_PX
  const byWidth = cell.clientWidth / perPx
  const byHeight = cell.clientHeight / LINE_OVER_FONT
  line.style.fontSize = `${Math.max(TRIAL_PX / 2, Math.floor(Math.min(byWidth, byHeight)))}px`
}

function useFittedLine(slotCount: number) {
  const cell = useRef<HTMLDivElement>(null)
  const line = useRef<HTMLDivElement>(null)
  // Before the first paint, not after it: digits never show at another size than their own.
  useLayoutEffect(() => {
    const [outer, inner] = [cell.current, line.current]
    if (!outer || !inner || slotCount === 0) return
    fitLine(outer, inner)
    const observer = new ResizeObserver(() => fitLine(outer, inner))
    observer.observe(outer)
    return () => observer.disconnect()
  }, [slotCount])
  return { cell, line }
}

/**
 * How many places before the point: enough for the whole bend, so that none of it moves a digit, and
 * never fewer than the angle on show needs.
 */
function useWholeSlots(
  phase: ReadonlySignal<Phase | undefined>,
  commandedDeg: number | null,
  decimals: number,
) {
  const { latest } = useStation()
  const whole = useSignal(2)
  useLayoutEffect(() => {
    const largestDeg = phase.value === 'no-datum' ? 0 : (commandedDeg ?? 90) + PAST_DEG
    const shownDeg = Number.isNaN(latest.angleDeg) ? 0 : latest.angleDeg
    whole.value = Math.max(wholeSlotsFor(largestDeg, decimals), wholeSlotsFor(shownDeg, decimals))
  }, [phase.value, commandedDeg, decimals, whole, latest])
  return whole
}

/** Into the slots alone: what stands behind them is not ours to write. */
function write(line: HTMLElement, texts: readonly string[]) {
  const slotSpans = line.querySelectorAll('.slot')
  if (slotSpans.length !== texts.length) return
  slotSpans.forEach((span, i) => {
    const text = texts[i] ?? ''
    if (span.textContent !== text) span.textContent = text
  })
}

/** The live angle. Its characters are written straight into the page, past the view library. */
export function Digits(props: { freshness: Freshness; commandedDeg: number | null }) {
  const { state, latest } = useStation()
  const decimals = useComputed(() => decimalsFor(state.value?.uncertaintyDeg ?? null)).value
  const phase = useComputed(() => state.value?.phase)
  const whole = useWholeSlots(phase, props.commandedDeg, decimals)
  const wholeSlots = whole.value
  const count = slots(0, decimals, wholeSlots).length
  const { cell, line } = useFittedLine(count)

  // As soon as the slots are there, not after the paint: they never stand empty or show another width's digits.
  useLayoutEffect(() => {
    let shown: number | null = null
    let writtenMs = -Infinity
    const show = (nowMs: number) => {
      if (!line.current || nowMs - writtenMs < DIGITS_EVERY_MS || Number.isNaN(latest.angleDeg))
        return
      const next = stepToShow(latest.angleDeg, decimals, shown)
      if (next === shown) return
      shown = next
      writtenMs = nowMs
      const shownDeg = next / 10 ** decimals
      const needed = wholeSlotsFor(shownDeg, decimals)
      if (needed > wholeSlots) {
        whole.value = needed
        return
      }
      latest.shownDeg = shownDeg
      write(line.current, slots(next, decimals, wholeSlots))
    }
    show(0)
    return eachFrame(show)
  }, [latest, decimals, line, wholeSlots, whole])

  return (
    <div
      class="digits"
      data-freshness={props.freshness}
      data-datum={phase.value === 'no-datum' ? 'no' : 'yes'}
      ref={cell}
    >
      <div
        class="digits-line"
        role="timer"
        aria-live="off"
        aria-label={words.digits.label}
        ref={line}
      >
        {Array.from({ length: count }, (_, i) => (
          <span class={i === wholeSlots ? 'slot slot-point' : 'slot'} key={i} />
        ))}
        <span class="degree">°</span>
      </div>
      <DoubtTag />
    </div>
  )
}
