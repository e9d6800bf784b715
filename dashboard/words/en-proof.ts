import type { Proof } from '../../server/quality/proof.ts'

/** The texts of what the uncertainty leaves of a verdict. */
export const proofWords = {
  name: 'With its uncertainty',
  unknown: 'nothing is proved: the uncertainty is not known',
  said: {
    'proved-in': 'proved in: all of it lies within the tolerance',
    'proved-out': 'proved out: all of it lies beyond the tolerance',
    undecided: 'undecided: a limit lies within the uncertainty',
  } satisfies Record<Proof, string>,
}
