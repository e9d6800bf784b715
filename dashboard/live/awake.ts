import { signal } from '@preact/signals'

/** `absent`: over plain HTTP browsers offer no way to keep the screen on; the page says so. */
export const awakeState = signal<'on' | 'off' | 'absent'>('off')

/** Asks for the screen to stay on, again each time the page comes back into view. */
export function stayAwake(): void {
  if (!('wakeLock' in navigator)) {
    awakeState.value = 'absent'
    return
  }
  async function ask() {
    if (document.visibilityState !== 'visible') return
    try {
      const lock = await navigator.wakeLock.request('screen')
      awakeState.value = 'on'
      lock.onrelease = () => {
        awakeState.value = 'off'
      }
    } catch {
      awakeState.value = 'absent'
    }
  }
  document.addEventListener('visibilitychange', () => void ask())
  void ask()
}
