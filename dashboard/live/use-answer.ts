import { useEffect, useState } from 'preact/hooks'
import { sentenceOf } from './api.ts'

export interface Answer<T> {
  readonly value: T | null
  /** The refusal's sentence; null while all is well. */
  readonly problem: string | null
  /** True while this still answers the question before: it says nothing of what is asked now. */
  readonly isOld: boolean
}

/** Asks when `question` changes. An answer that comes after a newer question is dropped. */
export function useAnswer<T>(question: string, ask: () => Promise<T>): Answer<T> {
  const [answer, setAnswer] = useState<Omit<Answer<T>, 'isOld'> & { to: string }>({
    ...{ value: null, problem: null, to: question },
  })
  useEffect(() => {
    let isWanted = true
    ask().then(
      (value) => isWanted && setAnswer({ value, problem: null, to: question }),
      (error: unknown) =>
        isWanted && setAnswer({ value: null, problem: sentenceOf(error), to: question }),
    )
    return () => {
      isWanted = false
    }
  }, [question])
  const { value, problem, to } = answer
  return { value, problem, isOld: to !== question }
}
