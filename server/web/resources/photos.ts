import { Type } from 'typebox'
import { PHOTO_MAX_BYTES, PHOTO_TYPES } from '../../messages/act-kinds/photo.ts'
import { KeptPhoto } from '../../messages/photos.ts'
import { strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'
import { refused } from '../refuse.ts'
import { Refused } from '../station-door.ts'

const tags = ['bends']
/** What is too long by a little is told of in the history's own words. */
const BODY_MAX_BYTES = PHOTO_MAX_BYTES + 64 * 1024

const Image = Type.Unsafe<Buffer>({ type: 'string', format: 'binary' })

/** /photos: images that acts put to bends, by their hash. */
export const photos: Resource = async (app, { history }) => {
  app.addContentTypeParser(
    [...PHOTO_TYPES, 'application/octet-stream'],
    { parseAs: 'buffer', bodyLimit: BODY_MAX_BYTES },
    (_request, body, done) => done(null, body),
  )

  app.post(
    '/photos',
    {
      bodyLimit: BODY_MAX_BYTES,
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'Hand in a photo: the image itself as the body, JPEG, PNG or WebP',
        consumes: [...PHOTO_TYPES],
        response: answers(KeptPhoto, {
          body: true,
          codes: ['bad-input', 'too-large', 'storage-failed', 'storage-full'],
        }),
      },
    },
    async ({ body }) => {
      if (!Buffer.isBuffer(body))
        throw new Refused('bad-input', 'The body is no image: send a JPEG, PNG or WebP.', 'body')
      return history.addPhoto(body)
    },
  )

  app.get(
    '/photos/:sha256',
    {
      schema: {
        tags,
        summary: 'A photo, as it was handed in',
        params: strict({ sha256: Type.String({ pattern: '^[0-9a-f]{64}$' }) }),
        produces: [...PHOTO_TYPES],
        response: {
          ...answers(Image, { codes: ['bad-input', 'no-such-photo', 'storage-failed'] }),
          200: {
            content: Object.fromEntries(PHOTO_TYPES.map((type) => [type, { schema: Image }])),
          },
        },
      },
    },
    async ({ params: { sha256 } }, reply) => {
      const found = history.photo(sha256)
      if (found === null) throw refused('no-such-photo', sha256)
      return reply.type(found.type).send(found.image)
    },
  )
}
