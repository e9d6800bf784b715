import { useEffect, useState } from 'preact/hooks'

/** The value once it has stood still for a while: what is typed is not asked about letter by letter. */
export function useSettled<T>(value: T, forMs: number): T {
  const [settled, setSettled] = useState(value)
  useEffect(() => {
    const timer = setTimeout(() => setSettled(value), forMs)
    return () => clearTimeout(timer)
  }, [value, forMs])
  return settled
}
