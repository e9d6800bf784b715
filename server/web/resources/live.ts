import { Type } from 'typebox'
import { strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import { LIVE_PATH } from '../live.ts'
import type { Resource } from '../parts.ts'
import { refused } from '../refuse.ts'

const Switched = Type.Null({
  description:
    'The WebSocket is open. It sends one JSON text a message, each a `LiveMessage` of the components: ' +
    'first `hello`, then `state` whenever something changed and `samples` as they come. A page that ' +
    'is too slow gets fewer samples, and `omitted` says how many. It takes no messages. The request ' +
    'must carry an `Origin` of this daemon, as a browser sends it.',
})

const WhichStation = strict({
  station: Type.Optional(
    Type.String({ maxLength: 80, description: 'Key of the bender; else the first.' }),
  ),
})

/** GET /live: documents the stream, and answers whoever asks for it without opening a WebSocket. */
export const liveStream: Resource = async (app) => {
  const { 200: _, ...refusals } = answers(Switched, {
    codes: ['not-a-socket', 'no-such-station', 'too-many-clients'],
  })
  app.get(
    LIVE_PATH,
    {
      schema: {
        tags: ['live'],
        summary: 'Live degrees, as a WebSocket',
        querystring: WhichStation,
        response: { 101: Switched, ...refusals },
      },
    },
    async () => {
      throw refused('not-a-socket')
    },
  )
}
