import { useComputed } from '@preact/signals'
import { useStation } from './context.ts'

/** True where an archive or a backup is only looked at: nothing can be entered about a bend. */
export function useToLook(): boolean {
  const { state } = useStation()
  return useComputed(() => state.value?.notices.some(({ id }) => id === 'look') ?? false).value
}
