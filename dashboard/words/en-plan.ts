import type { DueFor } from '../../server/quality/sampling-plan.ts'
import type { ToleranceClass } from '../../server/quality/tolerance-class.ts'

const due: Readonly<Record<DueFor, string>> = {
  first: 'first piece',
  every: 'its turn by the plan',
  last: 'last piece',
}

const classes: Readonly<Record<ToleranceClass, string>> = {
  f: 'ISO 2768-f, fine',
  m: 'ISO 2768-m, medium',
  c: 'ISO 2768-c, coarse',
  v: 'ISO 2768-v, very coarse',
}

/** The texts of where a tolerance comes from, and of which pieces are measured. */
export const planWords = {
  toleranceFrom: 'Tolerance from',
  own: 'own, as typed',
  classes,
  leg: 'Shorter leg of the bend',
  legHelp: 'The straight beside it: the class goes by its length (ISO 2768-1, table 3).',
  toleranceIs: (tolerance: string) => `Tolerance ±${tolerance}.`,
  byClass: (of: ToleranceClass, leg: string) => `ISO 2768-${of}, shorter leg ${leg}`,
  measured: 'Measured by hand',
  plans: { '': 'no plan', plan: 'first piece, every so many, last' },
  everyNth: 'Every so many pieces',
  everyNthHelp: 'With 10: pieces 10, 20, 30. Empty: none between first and last.',
  lastPiece: 'Number of the last piece',
  lastPieceHelp: 'Empty: not known yet.',
  measureThis: (why: DueFor) => `Measure this one: ${due[why]}.`,
  notYet: (why: DueFor) => `To be inspected, and not yet: ${due[why]}.`,
} as const
