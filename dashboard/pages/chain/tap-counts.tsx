import type { TapCount } from '../../../server/messages/chain.ts'
import { words } from '../../words/en.ts'

const { tap: say } = words.chain

/** How a block that lets things out of the chain is doing, and what keeps it from it. */
export function TapCounts({ tap }: { tap: TapCount }) {
  return (
    <>
      <p class="tap-counts">{say.counts(tap)}</p>
      {tap.trouble !== null && (
        <p class="form-refused" role="alert">
          {tap.trouble}
        </p>
      )}
    </>
  )
}
