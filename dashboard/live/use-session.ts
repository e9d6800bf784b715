import { useRef } from 'preact/hooks'
import type { Here } from '../../server/messages/people.ts'
import { api } from './api.ts'
import { sessionTurn } from './session.ts'
import { type Answer, useAnswer } from './use-answer.ts'

/** Who is here, asked again whenever that may have changed. While it cannot be asked, what was known stands: no form goes with it. */
export function useSession(): Answer<Here> {
  const answer = useAnswer(`session ${sessionTurn.value}`, api.session)
  const known = useRef<Here | null>(null)
  known.current = answer.value ?? known.current
  return known.current === null
    ? answer
    : { value: known.current, problem: null, isOld: answer.isOld }
}
