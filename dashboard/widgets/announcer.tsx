import { useSignal, useSignalEffect } from '@preact/signals'
import { useStation } from '../live/context.ts'
import { whatIsMissing } from '../live/what-is-missing.ts'
import type { Instruction } from '../live/what-to-do.ts'
import { words } from '../words/en.ts'
import { degrees } from '../words/format.ts'

/** Says for the ear of a screen reader what changed, never the fast number. */
export function Announcer({ instruction, fresh }: { instruction: Instruction; fresh: boolean }) {
  const { state, socket, latest } = useStation()
  const outcome = useSignal('')
  useSignalEffect(() => {
    const result = state.value?.result
    const verdict = result?.verdict
    const releasedDeg = result?.go.releasedDeg ?? null
    outcome.value =
      state.value?.phase === 'settled' &&
      verdict &&
      verdict !== 'incomplete' &&
      releasedDeg !== null
        ? words.status[verdict](degrees(releasedDeg))
        : ''
  })
  const missing = fresh
    ? null
    : whatIsMissing(socket.value, state.value?.link ?? null, latest.quality)
  return (
    <div class="for-the-ear">
      <p role="status">{outcome.value || words.what[instruction.word]}</p>
      <p role="alert">{missing ? `${missing.what} ${missing.todo}` : ''}</p>
    </div>
  )
}
