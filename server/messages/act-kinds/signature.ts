import { Type } from 'typebox'
import { oneOf } from '../schema.ts'
import { defineAct } from './act-kind.ts'

export const SIGNING_ROLES = ['signed', 'counter-signed'] as const

export const signature = defineAct({
  kind: 'signature',
  address: 'signatures',
  summary: 'Sign a bend as it stands, or counter-sign what another person signed',
  may: 'operator',
  byPassword: true,
  fields: {
    role: oneOf(SIGNING_ROLES, { description: 'Signed first, or by a second person after it.' }),
    meaning: Type.String({
      minLength: 1,
      maxLength: 500,
      pattern: '\\S',
      description: 'What the signature says, as a sentence.',
    }),
  },
})
