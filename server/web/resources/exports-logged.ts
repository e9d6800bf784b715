import { Type } from 'typebox'
import { LoggedExport, LoggedExportQuery } from '../../messages/exports.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

/** GET /exports: what left the daemon as a file, newest first. */
export const exportsLogged: Resource = async (app, { history }) => {
  app.get(
    '/exports',
    {
      config: { may: 'operator' },
      schema: {
        tags: ['bends'],
        summary: 'Every file of bends that left here: who asked, for which, when; newest first',
        querystring: LoggedExportQuery,
        response: answers(Type.Array(LoggedExport), { codes: ['bad-input', 'storage-failed'] }),
      },
    },
    async ({ query }) => history.exportsLogged(query),
  )
}
