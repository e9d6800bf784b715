import { useSignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import { useStation } from '../live/context.ts'
import { eachFrame } from '../live/frame.ts'
import { words } from '../words/en.ts'

/** Stands on the digits while the sensor calls its own readings uncertain. */
export function DoubtTag() {
  const { latest } = useStation()
  const isUncertain = useSignal(false)
  useEffect(
    () =>
      eachFrame(() => {
        isUncertain.value = latest.quality === 1
      }),
    [latest, isUncertain],
  )
  if (!isUncertain.value) return null
  return (
    <p class="doubt-tag" role="status">
      {words.digits.uncertain}
    </p>
  )
}
