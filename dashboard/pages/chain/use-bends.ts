import type { BendPage } from '../../../server/messages/find.ts'
import { api } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'

/** How many recorded bends are offered to be proved on, the newest. */
const OFFERED = 20

/** The newest recorded bends; null until they are known. */
export function useBends(): {
  readonly bends: BendPage['bends'] | null
  readonly problem: string | null
} {
  const { value, problem } = useAnswer('newest bends', () =>
    api.bends(new URLSearchParams({ limit: String(OFFERED) })),
  )
  return { bends: value?.bends ?? null, problem }
}
