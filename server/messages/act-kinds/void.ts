import { defineAct, reason } from './act-kind.ts'

export const voided = defineAct({
  kind: 'void',
  address: 'void',
  summary: 'Declare a bend void: it stays on record, counts nowhere and teaches nothing',
  may: 'reviewer',
  teaches: true,
  unsigns: true,
  fields: { reason },
})
