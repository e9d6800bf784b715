import { type Signal, useSignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import { useStation } from './context.ts'
import { eachFrame } from './frame.ts'
import { type Freshness, freshnessOf } from './freshness.ts'

/** How far the newest angle may be believed. Looked at every frame, told only when it changes. */
export function useFreshness(): Signal<Freshness> {
  const { latest } = useStation()
  const freshness = useSignal<Freshness>('gone')
  useEffect(
    () =>
      eachFrame(() => {
        const ageS = (performance.now() - latest.arrivedMs) / 1000
        freshness.value = freshnessOf(ageS)
      }),
    [latest, freshness],
  )
  return freshness
}
