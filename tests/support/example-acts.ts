import type { ActAsk, ActKind } from '../../server/messages/acts.ts'

/** An act of each kind as a person asks for it, on a bend of the shop by "Operator 2". */
export const EXAMPLE_ASKS: { readonly [K in ActKind]: ActAsk<K> } = {
  teaching: { who: 'Quality', decision: 'taken-out', reason: 'The clamp had slipped.' },
  amendment: {
    ...{ who: 'Quality', field: 'operator', from: 'Operator 2', to: 'Operator 3' },
    reason: 'The name of the shift before was left in.',
  },
  void: { who: 'Quality', reason: 'The tube was from the scrap bin.' },
  reinstated: { who: 'Quality', reason: 'It was the right tube after all.' },
  signature: { who: 'Quality', role: 'signed', meaning: 'I have checked this record.' },
  note: { who: 'Quality', text: '<b>Слип</b> \u202Eמשהו 🛠 "=1+1"\nsecond line' },
}
