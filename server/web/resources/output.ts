import { Done } from '../../messages/commands.ts'
import { ArmOutput } from '../../messages/output.ts'
import { strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

const tags = ['output']
const done = { done: true } as const

/** /output: a buzzer, lamp or relay of the board that follows the stop cue. Never a safety function. */
export const output: Resource = async (app, { station }) => {
  app.put(
    '/output',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'Arms one output for as long as the page that asks keeps it armed',
        body: ArmOutput,
        response: answers(Done, { body: true, codes: ['not-now'] }),
      },
    },
    async ({ body }) => {
      station.output.arm(body)
      return done
    },
  )

  app.post(
    '/output/keep',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'Says every second that the page is still there; after 3 s without it is disarmed',
        body: strict({}),
        response: answers(Done, { body: true, codes: ['not-now'] }),
      },
    },
    async () => {
      station.output.keep()
      return done
    },
  )

  app.delete(
    '/output',
    {
      config: { may: 'bend' },
      schema: { tags, summary: 'Disarms it', response: answers(Done) },
    },
    async () => {
      station.output.disarm()
      return done
    },
  )
}
