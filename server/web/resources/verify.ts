import { setImmediate } from 'node:timers/promises'
import { Type } from 'typebox'
import type { Phase } from '../../messages/live.ts'
import { orNull, strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'
import { Refused } from '../station-door.ts'

const LogOf = (description: string) =>
  Type.Object(
    {
      entries: Type.Integer({ minimum: 0, description: 'Entries of the log.' }),
      firstBroken: orNull(Type.Integer({ description: 'First entry altered, removed or moved.' })),
      head: Type.String({ description: 'Hash of its last entry.' }),
    },
    { description, additionalProperties: false },
  )

const Verified = strict({
  records: Type.Integer({ minimum: 0 }),
  intact: Type.Boolean(),
  firstBroken: orNull(Type.Integer({ description: 'First record altered, removed or reordered.' })),
  why: orNull(Type.String({ description: 'What is wrong with it.' })),
  head: Type.String({ description: 'Hash of the last record; keep it elsewhere.' }),
  readout: LogOf('Of acts about the readout.'),
  acts: LogOf('Of what people did about bends.'),
  chains: LogOf('Of revisions of the chain.'),
  people: LogOf('Of people enrolled.'),
  exports: LogOf('Of what left as a file.'),
})

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
        response: answers(Verified, { codes: ['not-now', 'storage-failed'] }),
      },
    },
    async () => {
      const steps = history.verifySteps()
      for (;;) {
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
