import {
  NOTEBOOK_LENGTH_MAX,
  NotebookAsk,
  NotebookPreview,
  NotebookTake,
  NotebookTaken,
} from '../../messages/notebook.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

const tags = ['bends']

/** A character takes up to four bytes, or six where JSON escapes it; most files are plain. */
const BODY_MAX_BYTES = 3 * NOTEBOOK_LENGTH_MAX

/** /notebook: a shop's old notebook, looked over first, then taken whole or not at all. */
export const notebook: Resource = async (app, parts) => {
  app.post(
    '/notebook/preview',
    {
      config: { may: 'operator' },
      bodyLimit: BODY_MAX_BYTES,
      schema: {
        tags,
        summary: 'What importing a notebook would record, and what is in the way',
        body: NotebookAsk,
        response: answers(NotebookPreview, {
          body: true,
          codes: ['no-such-setup', 'not-now', 'storage-failed'],
        }),
      },
    },
    async ({ body }) => parts.notebook.preview(body),
  )

  app.post(
    '/notebook',
    {
      config: { may: 'reviewer' },
      bodyLimit: BODY_MAX_BYTES,
      schema: {
        tags,
        summary: 'Import a notebook: all of it, or nothing',
        body: NotebookTake,
        response: answers(NotebookTaken, {
          body: true,
          codes: ['notebook-refused', 'no-such-setup', 'not-now', 'storage-failed', 'storage-full'],
        }),
      },
    },
    async ({ body }) => parts.notebook.take(body),
  )
}
