import { words } from '../../words/en.ts'
import type { Checked } from './use-check.ts'

const { edit: say } = words.chain

/** What the check says, and the way to the block at fault. */
export function DraftState(props: {
  checked: Checked
  /** Why the last edit was not made. */
  why: string | null
  /** The draft has the block at fault. */
  canOpen: boolean
  open(block: string): void
}) {
  const { state, why, block, port } = props.checked
  const where = [block, port].filter(Boolean).join('.')
  return (
    <div class="draft-state" data-state={state}>
      <p role="status">
        {state === 'checking' && say.checking}
        {state === 'accepted' && say.accepted}
        {state === 'refused' && (
          <>
            <b>{where === '' ? say.refused : say.refusedAt(where)}</b> {why}
          </>
        )}
      </p>
      {block !== null && props.canOpen && (
        <button type="button" class="plain" onClick={() => props.open(block)}>
          {say.show(block)}
        </button>
      )}
      {props.why !== null && (
        <p class="form-refused" role="alert">
          {props.why}
        </p>
      )}
    </div>
  )
}
