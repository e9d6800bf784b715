import { words } from '../words/en.ts'
import type { Route } from './route-of.ts'

const placeOf = (route: Route): string => {
  if (route.page === 'record') return words.record.title(route.bendId)
  return route.page === 'nowhere' ? words.nowhere.title : words.pages[route.page]
}

/** What the window, its tab and the way back are called. */
export const titleOf = (route: Route): string => `${placeOf(route)} · ${words.name}`
