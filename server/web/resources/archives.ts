import { ArchiveAsk, Archived } from '../../messages/archives.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'
import { refused } from '../refuse.ts'
import { knownBy } from '../roles.ts'

/** POST /archives: the years that are over in a file of their own, while bends are recorded on. */
export const archives: Resource = async (app, { archive }) => {
  app.post(
    '/archives',
    {
      config: { may: 'reviewer' },
      schema: {
        tags: ['bends'],
        summary: 'Archive the years that are over; nothing is taken out of the history',
        body: ArchiveAsk,
        response: answers(Archived, {
          body: true,
          codes: ['no-such-address', 'nothing-to-do', 'storage-failed', 'storage-full'],
        }),
      },
    },
    async (request) => {
      if (archive === undefined) throw refused('no-such-address', request.url)
      return archive(request.body, knownBy(request))
    },
  )
}
