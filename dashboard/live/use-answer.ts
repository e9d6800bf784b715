import { useEffect, useState } from 'preact/hooks'
import { sentenceOf } from './api.ts'

export interface Answer<T> {
  readonly value: T | null
  /** The refusal's sentence; null while all is well. */
  readonly problem: string | null
}

/** Asks when `question` changes. An answer that comes after a newer question is dropped. */
export function useAnswer<T>(question: string, ask: () => Promise<T>): Answer<T> {
  const [answer, setAnswer] = useState<Answer<T>>({ value: null, problem: null })
  useEffect(() => {
    let isWanted = true
    ask().then(
      (value) => isWanted && setAnswer({ value, problem: null }),
      (error: unknown) => isWanted && setAnswer({ value: null, problem: sentenceOf(error) }),
    )
    return () => {
      isWanted = false
    }
  }, [question])
  return answer
}
