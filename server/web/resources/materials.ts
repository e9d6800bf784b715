import { Type } from 'typebox'
import { MATERIALS } from '../../bend/materials.ts'
import { strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

const MaterialRow = strict({
  key: Type.String({ description: 'What a set-up names as `tube.material`.' }),
  name: Type.String(),
  sources: strict({
    modulus: Type.String(),
    yield: Type.String(),
    hardening: Type.String(),
    unloading: Type.String(),
    spread: Type.String(),
  }),
})

/** GET /materials: what a tube can be made of, and where its first springback comes from. */
export const materials: Resource = async (app) => {
  app.get(
    '/materials',
    {
      schema: {
        tags: ['station'],
        summary: 'The material table',
        response: answers(Type.Array(MaterialRow)),
      },
    },
    async () => MATERIALS.map(({ key, name, sources }) => ({ key, name, sources })),
  )
}
