import { useState } from 'preact/hooks'
import { words } from '../../words/en.ts'
import type { Steps } from './draft-steps.ts'
import { closeDraft, doAgain, takeBack } from './draft-store.ts'
import type { OwnSheet } from './use-draft-acts.ts'

const { edit: say, prove, apply } = words.chain

interface Props {
  readonly steps: Steps
  readonly isText: boolean
  /** Why it cannot be applied yet is told beside the check. */
  readonly canApply: boolean
  showText(isText: boolean): void
  open(sheet: OwnSheet): void
}

/** A draft is lost by two presses, never by one. */
function Discard() {
  const [isAsked, setIsAsked] = useState(false)
  if (!isAsked)
    return (
      <button type="button" class="plain" onClick={() => setIsAsked(true)}>
        {say.discard}
      </button>
    )
  return (
    <span class="draft-discard">
      {say.sure}
      <button type="button" class="plain" onClick={closeDraft}>
        {say.discard}
      </button>
      <button type="button" class="plain" onClick={() => setIsAsked(false)}>
        {say.keepIt}
      </button>
    </span>
  )
}

/** A button of the draft. One that can do nothing now keeps the keyboard where it is. */
function Act(props: { text: string; can: boolean; opens?: OwnSheet; act(): void }) {
  return (
    <button
      type="button"
      class="plain"
      data-opens={props.opens}
      aria-disabled={props.can ? undefined : 'true'}
      onClick={() => props.can && props.act()}
    >
      {props.text}
    </button>
  )
}

/** What can be done with the draft as a whole. */
export function DraftBar({ steps, isText, canApply, showText, open }: Props) {
  return (
    <fieldset class="draft-bar" aria-label={say.acts}>
      <Act text={say.undo} can={steps.past.length > 0} act={takeBack} />
      <Act text={say.redo} can={steps.future.length > 0} act={doAgain} />
      <Act text={say.addBlock} can={true} opens="add" act={() => open('add')} />
      <Act
        text={isText ? words.chain.asDrawing : words.chain.text}
        can={true}
        act={() => showText(!isText)}
      />
      <Act text={prove.open} can={canApply} opens="prove" act={() => open('prove')} />
      <Act text={apply.open} can={canApply} opens="apply" act={() => open('apply')} />
      <Discard />
    </fieldset>
  )
}
