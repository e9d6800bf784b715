import { useEffect, useState } from 'preact/hooks'
import { ApiError, api, sentenceOf } from '../../live/api.ts'
import { useSettled } from '../../live/use-settled.ts'
import { type Draft, endOf } from './draft.ts'

/** What the check says of a draft: nothing yet, that it can run, or what is wrong and where. */
export interface Checked {
  readonly state: 'checking' | 'accepted' | 'refused'
  readonly why: string
  /** Block at fault, and port; null where it is none in particular. */
  readonly block: string | null
  readonly port: string | null
}

/** After the last change, ms: what is typed fast is asked once. */
const SETTLED_MS = 250

const CHECKING: Checked = { state: 'checking', why: '', block: null, port: null }
const ACCEPTED: Checked = { ...CHECKING, state: 'accepted' }

function refusalOf(error: unknown): Checked {
  const field = error instanceof ApiError ? (error.field ?? '') : ''
  const { id, port } = endOf(field)
  return { state: 'refused', why: sentenceOf(error), block: id || null, port: port || null }
}

/** Has the daemon check the draft after each change. */
export function useCheck(draft: Draft): Checked {
  const settled = useSettled(draft, SETTLED_MS)
  const [known, setKnown] = useState<{ of: Draft; checked: Checked } | null>(null)
  useEffect(() => {
    let isWanted = true
    const tell = (checked: Checked) => isWanted && setKnown({ of: settled, checked })
    api.checkChain(settled).then(
      () => tell(ACCEPTED),
      (error: unknown) => tell(refusalOf(error)),
    )
    return () => {
      isWanted = false
    }
  }, [settled])
  return known?.of === draft ? known.checked : CHECKING
}
