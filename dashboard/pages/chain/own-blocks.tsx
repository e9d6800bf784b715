import type { ChainView } from '../../../server/messages/chain.ts'
import { words } from '../../words/en.ts'

const { own: say } = words.chain

/** Code that does not come with the program: each file with its hash, and what it did that it may not. */
export function OwnBlocks({ own }: Pick<ChainView, 'own'>) {
  if (own.length === 0) return null
  return (
    <section class="own-blocks" aria-label={say.title}>
      <p>
        <b>{say.title}.</b> {say.warning}
      </p>
      <ul>
        {own.map(({ kind, file, sha256, failures, lastFailure }) => (
          <li key={kind}>
            {say.block(kind, file)} <code>{sha256}</code>
            {lastFailure !== null && (
              <span class="own-blocks-failed"> {say.failed(failures, lastFailure)}</span>
            )}
          </li>
        ))}
      </ul>
    </section>
  )
}
