import { route } from '../live/route.ts'
import { theme, turnTheme } from '../live/theme.ts'
import { words } from '../words/en.ts'
import { Notices } from './notices.tsx'
import { SoundControl } from './sound-control.tsx'

const PAGES = ['bend', 'history', 'springback', 'sensor', 'setup', 'chain'] as const

/** Pages that are reached from one of those. */
const UNDER: Readonly<Record<string, string>> = {
  record: 'history',
  charts: 'history',
  notebook: 'history',
  people: 'history',
  blocks: 'chain',
}

/** The line over the sheet: where one is, the other pages, sound and ground. */
export function TopLine() {
  const { page: shown } = route.value
  const here = UNDER[shown] ?? shown
  return (
    <header class="top-line">
      <span class="name">{words.name}</span>
      <nav aria-label={words.pages.main}>
        {PAGES.map((page) => (
          <a key={page} href={`#/${page}`} aria-current={page === here ? 'page' : undefined}>
            {words.pages[page]}
          </a>
        ))}
      </nav>
      <Notices />
      <SoundControl />
      <button type="button" onClick={turnTheme}>
        <span class="for-the-ear">{words.theme.label}</span>
        {theme.value === 'dark' ? words.theme.toLight : words.theme.toDark}
      </button>
    </header>
  )
}
