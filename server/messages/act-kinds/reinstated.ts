import { defineAct, reason } from './act-kind.ts'

export const reinstated = defineAct({
  kind: 'reinstated',
  address: 'reinstatement',
  summary: 'Let a void bend count again',
  may: 'reviewer',
  teaches: true,
  unsigns: true,
  fields: { reason },
})
