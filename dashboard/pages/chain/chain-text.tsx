import type { ChainView } from '../../../server/messages/chain.ts'
import { words } from '../../words/en.ts'

const { chain: say } = words

/** The chain's own file: blocks with their parameters, and what connects them. */
function textOf({ file }: ChainView): string {
  return JSON.stringify(file, null, 2)
}

/** The same chain as text, as files and the API have it. */
export function ChainText({ view }: { view: ChainView }) {
  return (
    <textarea class="chain-text" aria-label={say.text} rows={28} readOnly={true} spellcheck={false}>
      {textOf(view)}
    </textarea>
  )
}
