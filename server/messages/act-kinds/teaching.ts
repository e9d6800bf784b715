import { oneOf } from '../schema.ts'
import { defineAct, reason } from './act-kind.ts'

/**
 * Whether a bend is to teach springback: `put-back` although it does not fit the others, `taken-out` although it
 * does, `as-found` again as the others have it.
 */
export const DECISIONS = ['put-back', 'taken-out', 'as-found'] as const

export const teaching = defineAct({
  kind: 'teaching',
  address: 'teaching',
  summary: 'Put a bend back, or take it out, of what teaches springback',
  may: 'reviewer',
  teaches: true,
  fields: {
    decision: oneOf(DECISIONS, { description: 'Whether the bend is to teach springback.' }),
    reason,
  },
})
