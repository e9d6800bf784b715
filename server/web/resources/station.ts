import { Type } from 'typebox'
import { Done, OperatorAct } from '../../messages/commands.ts'
import { StationState } from '../../messages/live.ts'
import { Job, Setup, StoredSetup } from '../../messages/setup.ts'
import { answers } from '../answers.ts'
import { askDomain } from '../ask-domain.ts'
import type { Resource } from '../parts.ts'

const tags = ['station']

const done = { done: true } as const

/** /station: what is in force, and what the person at the bender says. */
export const station: Resource = async (app, { station, history }) => {
  app.get(
    '/station',
    { schema: { tags, summary: 'The bender now', response: answers(StationState) } },
    async () => station.state(),
  )

  app.get(
    '/station/setups',
    {
      schema: {
        tags,
        summary: 'Every set-up so far, newest first',
        response: answers(Type.Array(StoredSetup), { codes: ['storage-failed'] }),
      },
    },
    async () => history.setups(),
  )

  app.post(
    '/station/act',
    {
      config: { may: 'bend' },
      schema: {
        tags,
        summary: 'What a key, the pedal or a finger says',
        body: OperatorAct,
        response: answers(Done, { body: true, codes: ['not-now', 'no-setup'] }),
      },
    },
    async ({ body }) => {
      station.act(body)
      return done
    },
  )

  app.put(
    '/station/setup',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'Die, tube and sensor in use from now on',
        body: Setup,
        response: answers(StoredSetup, {
          body: true,
          codes: ['not-now', 'storage-failed', 'storage-full'],
        }),
      },
    },
    async ({ body }) => askDomain(() => station.useSetup(body)),
  )

  app.put(
    '/station/job',
    {
      config: { may: 'bend' },
      schema: {
        tags,
        summary: 'What is bent from now on',
        body: Job,
        response: answers(Done, { body: true, codes: ['not-now', 'storage-failed'] }),
      },
    },
    async ({ body }) => {
      askDomain(() => station.useJob(body))
      return done
    },
  )
}
