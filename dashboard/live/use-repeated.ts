import { useEffect } from 'preact/hooks'

/** Does something over and over while it is on show; the next time only after the last is done. */
export function useRepeated(work: () => Promise<void>, everyMs: number): void {
  useEffect(() => {
    let timer: ReturnType<typeof setTimeout>
    let isHere = true
    async function again(): Promise<void> {
      await work()
      if (isHere) timer = setTimeout(() => void again(), everyMs)
    }
    void again()
    return () => {
      isHere = false
      clearTimeout(timer)
    }
  }, [])
}
