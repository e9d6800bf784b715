import { useEffect, useRef, useState } from 'preact/hooks'
import { api, sentenceOf } from '../../live/api.ts'
import { useSettled } from '../../live/use-settled.ts'
import { words } from '../../words/en.ts'
import type { Draft } from './draft.ts'
import { isDraft, readText, textOfDraft } from './draft-text.ts'

const { edit: say } = words.chain

/** After the last letter, ms. */
const SETTLED_MS = 500

/** Why a text is no draft, as the daemon says it; null where it can be one. */
async function whyNot(value: unknown): Promise<string | null> {
  try {
    await api.checkChain(value)
    return null
  } catch (error) {
    return sentenceOf(error)
  }
}

/** The draft as text. What is typed becomes the draft as soon as it reads as one. */
export function DraftTextView({ draft, take }: { draft: Draft; take(draft: Draft): void }) {
  const [text, setText] = useState(textOfDraft(draft))
  const [why, setWhy] = useState<string | null>(null)
  const settled = useSettled(text, SETTLED_MS)
  const own = useRef(draft)

  useEffect(() => {
    if (draft === own.current) return
    own.current = draft
    setText(textOfDraft(draft))
    setWhy(null)
  }, [draft])

  useEffect(() => {
    let isWanted = true
    const read = readText(settled)
    setWhy('why' in read ? read.why : null)
    if ('why' in read) return
    const { value } = read
    if (!isDraft(value)) void whyNot(value).then((said) => isWanted && setWhy(said))
    else if (textOfDraft(value) !== textOfDraft(own.current)) {
      own.current = value
      take(value)
    }
    return () => {
      isWanted = false
    }
  }, [settled])

  return (
    <>
      <p id="draft-text-help">{say.textHelp}</p>
      <textarea
        class="chain-text"
        aria-label={say.draftText}
        aria-describedby="draft-text-help"
        aria-invalid={why === null ? undefined : 'true'}
        rows={28}
        spellcheck={false}
        value={text}
        onInput={(event) => setText(event.currentTarget.value)}
      />
      <p class="form-refused" role="alert">
        {why}
      </p>
    </>
  )
}
