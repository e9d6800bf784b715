import { PieceAsk, PieceNow, PieceSigned, SignPieceAsk } from '../../messages/piece.ts'
import { strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import { confirmed, passwordAgain } from '../confirmed.ts'
import type { Resource } from '../parts.ts'

const tags = ['bends']

/** /piece: the bends that stand on one piece by now, looked at and signed at once. */
export const piece: Resource = async (app, { pieces, people }) => {
  app.get(
    '/piece',
    {
      schema: {
        tags,
        summary: 'The bends of a piece as it stands by now, and who signed them',
        querystring: PieceAsk,
        response: answers(PieceNow, {
          codes: ['bad-input', 'empty-piece', 'not-signable', 'not-now', 'storage-failed'],
        }),
      },
    },
    async ({ query }) => pieces.look(query),
  )

  app.post(
    '/piece/signatures',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'Sign every bend of a piece as it was seen, or counter-sign them: all, or none',
        body: strict({ ...SignPieceAsk.properties, ...passwordAgain }),
        response: answers(PieceSigned, {
          body: true,
          codes: [
            ...(['empty-piece', 'changed-since', 'not-signable', 'nothing-to-do'] as const),
            ...(['not-now', 'wrong-password', 'too-many-tries'] as const),
            ...(['storage-failed', 'storage-full'] as const),
          ],
        }),
      },
    },
    async (request) => {
      const [ask, known] = await confirmed(request, people, request.body)
      return pieces.sign(ask, known)
    },
  )
}
