import { Done } from '../../messages/commands.ts'
import { secret, strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

const PairingCode = strict({
  code: secret('The six digits that the daemon printed when it started.', {
    ...{ minLength: 1, maxLength: 16 },
  }),
})

/** POST /pair: a device on the network becomes one of the shop's, for a working day. */
export const pairing: Resource = async (app, { access, log }) => {
  app.post(
    '/pair',
    {
      config: { unpaired: true, may: 'watch' },
      schema: {
        tags: ['service'],
        summary: 'Pair this device',
        description: 'Answers with the session cookie that every other address asks for.',
        security: [],
        body: PairingCode,
        response: answers(Done, {
          body: true,
          unpaired: true,
          codes: ['wrong-code', 'too-many-tries', 'no-pairing'],
        }),
      },
    },
    async ({ body, ip }, reply) => {
      reply.header('set-cookie', access.pair(body.code))
      log('A device was paired.', { from: ip })
      return { done: true as const }
    },
  )
}
