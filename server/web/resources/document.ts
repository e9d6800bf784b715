import { Type } from 'typebox'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

/** An OpenAPI document has a schema of its own, which is not ours to repeat. */
const AnyObject = Type.Object({}, { additionalProperties: true })

/** GET /openapi.json: this interface, described. */
export const document: Resource = async (app) => {
  app.get(
    '/openapi.json',
    { schema: { tags: ['service'], summary: 'This document', response: answers(AnyObject) } },
    async () => app.swagger(),
  )
}
