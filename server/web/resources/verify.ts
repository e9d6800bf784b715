import { setImmediate } from 'node:timers/promises'
import type { Phase } from '../../messages/live.ts'
import { HistoryVerified } from '../../messages/verified.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'
import { Refused } from '../station-door.ts'

/** While the tube moves, nobody waits for live degrees. */
const BUSY_PHASES: readonly Phase[] = ['bending', 'held', 'letting-off']

/** GET /history/verify: walks the hash chain. A long history takes seconds, so not in mid-bend. */
export const verify: Resource = async (app, { seats, history }) => {
  app.get(
    '/history/verify',
    {
      schema: {
        tags: ['bends'],
        summary: 'Is the history whole and unaltered?',
        response: answers(HistoryVerified, { codes: ['not-now', 'storage-failed'] }),
      },
    },
    async ({ signal }) => {
      const steps = history.verifySteps()
      for (;;) {
        signal.throwIfAborted()
        // A bend may begin while a long history is walked: the walk gives way to it.
        if (seats.some(({ station }) => BUSY_PHASES.includes(station.state().phase)))
          throw new Refused(
            'not-now',
            'Checking the history would hold up the live angle; ask again after letting off.',
          )
        const step = steps.next()
        if (step.done) return step.value
        await setImmediate()
      }
    },
  )
}
