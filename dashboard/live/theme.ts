import { computed, effect, signal } from '@preact/signals'
import { settings } from './settings.ts'

const night = matchMedia('(prefers-color-scheme: dark)')
const isNight = signal(night.matches)
night.addEventListener('change', () => {
  isNight.value = night.matches
})

/** Paper by day, slate by night: as the system has it, unless someone chose. */
export const theme = computed(() => {
  const chosen = settings.theme.value
  if (chosen !== 'auto') return chosen
  return isNight.value ? 'dark' : 'light'
})

export function followTheme(): void {
  effect(() => {
    document.documentElement.dataset['theme'] = theme.value
  })
}

export function turnTheme(): void {
  settings.theme.value = theme.value === 'dark' ? 'light' : 'dark'
}
