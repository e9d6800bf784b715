import { useEffect } from 'preact/hooks'
import { doAgain, takeBack } from './draft-store.ts'

/** A field has an undo of its own, for what is typed in it. */
const isTyping = (target: EventTarget | null) =>
  target instanceof HTMLTextAreaElement ||
  (target instanceof HTMLInputElement && target.type !== 'checkbox')

/** Ctrl+Z takes a change back, Ctrl+Shift+Z makes it again. */
export function useUndoKeys(): void {
  useEffect(() => {
    function onKey(event: KeyboardEvent): void {
      const isCommand = event.ctrlKey || event.metaKey
      if (!isCommand || event.key.toLowerCase() !== 'z' || isTyping(event.target)) return
      event.preventDefault()
      if (event.shiftKey) doAgain()
      else takeBack()
    }
    addEventListener('keydown', onKey)
    return () => removeEventListener('keydown', onKey)
  }, [])
}
