import type { NoProof } from '../../server/bend/bend-proof.ts'
import type { Proof } from '../../server/quality/proof.ts'

/** The texts of what the uncertainty leaves of a verdict. */
export const proofWords = {
  name: 'With its uncertainty',
  none: {
    'not-seen': 'nothing is proved: the tube was not seen',
    'by-hand': 'nothing is proved: an angle finder gave it, of unknown uncertainty',
    'not-known': 'nothing is proved: the uncertainty is not known',
    'not-calibrated': 'nothing is proved: the readout was not calibrated',
    'in-doubt': 'nothing is proved: the readout was in doubt',
  } satisfies Record<NoProof, string>,
  said: {
    'proved-in': 'proved in: all of it lies within the tolerance',
    'proved-out': 'proved out: all of it lies beyond the tolerance',
    undecided: 'undecided: a limit lies within the uncertainty',
  } satisfies Record<Proof, string>,
}
