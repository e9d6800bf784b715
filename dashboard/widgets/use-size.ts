import { type Signal, useSignal } from '@preact/signals'
import type { RefObject } from 'preact'
import { useEffect } from 'preact/hooks'

export interface Size {
  readonly widthPx: number
  readonly heightPx: number
}

/** The size of an element's content box, told when it changes. */
export function useSize(element: RefObject<HTMLElement | null>): Signal<Size> {
  const size = useSignal<Size>({ widthPx: 0, heightPx: 0 })
  useEffect(() => {
    const target = element.current
    if (!target) return
    const observer = new ResizeObserver(() => {
      size.value = { widthPx: target.clientWidth, heightPx: target.clientHeight }
    })
    observer.observe(target)
    return () => observer.disconnect()
  }, [element, size])
  return size
}
