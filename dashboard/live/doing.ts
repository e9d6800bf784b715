import { signal } from '@preact/signals'
import { sentenceOf } from './api.ts'

/** The last refusal, in the daemon's own sentence, until it is closed or something succeeds. */
export const refused = signal<string | null>(null)

/** Does something the daemon may refuse, and puts its sentence where the page shows it. */
export function attempt(work: Promise<unknown>): void {
  work.then(
    () => {
      refused.value = null
    },
    (error: unknown) => {
      refused.value = sentenceOf(error)
    },
  )
}
