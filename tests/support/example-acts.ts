import { createHash } from 'node:crypto'
import type { ActAsk, ActKind } from '../../server/messages/acts.ts'

/** One grey dot. */
export const EXAMPLE_PHOTO = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNoAAAAggCBd81ytgAAAABJRU5ErkJggg==',
  'base64',
)
const EXAMPLE_PHOTO_SHA256 = createHash('sha256').update(EXAMPLE_PHOTO).digest('hex')

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
  inspection: {
    ...{ who: 'Quality', gauge: 'Caliper', largestOdMm: 38.6, smallestOdMm: 37.4, wallMm: 1.5 },
    ...{ looks: 'flawed', flaws: ['wrinkles'], remark: 'At the start of the bend.' },
    limits: { code: 'C-1', ovality: { by: 'nominal', limit: 8 }, thinningMaxPercent: 20 },
  },
  photo: {
    ...{ who: 'Quality', caption: 'The inside of the bend' },
    ...{ sha256: EXAMPLE_PHOTO_SHA256, type: 'image/png', bytes: EXAMPLE_PHOTO.length },
  },
  note: { who: 'Quality', text: '<b>Слип</b> \u202Eמשהו 🛠 "=1+1"\nsecond line' },
}
