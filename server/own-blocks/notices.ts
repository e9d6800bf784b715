import type { Notice } from '../messages/live.ts'
import type { Catalogue } from './catalogue.ts'

const HASH_SHOWN = 12

/** That there are own blocks, for as long as there are; and what they did that they may not. */
export function ownBlockNotices({ own }: Catalogue): Notice[] {
  if (own.length === 0) return []
  const named = own.map(({ file, sha256 }) => `${file} (${sha256.slice(0, HASH_SHOWN)}…)`)
  const failing = own.filter(({ trouble }) => trouble.times > 0)
  return [
    {
      id: 'own-blocks',
      kind: 'doubt',
      text: `Code that does not come with the program is loaded: ${named.join(', ')}.`,
      hint: 'It may do whatever the daemon may; without --blocks it is gone.',
    },
    ...failing.map(
      ({ block: { kind }, file, trouble: { times, last } }): Notice => ({
        id: `own-block-${kind}`,
        kind: 'fault',
        text: `The own block ${file} failed (${times} times by now): ${last}. Its values were marked bad.`,
        hint: 'Take it out of the chain on the Chain page, or mend its file and start again.',
      }),
    ),
  ]
}
