import { signal } from '@preact/signals'
import { type Route, routeOf } from './route-of.ts'

export const route = signal<Route>({ page: 'bend' })

/** Kept with a place that was seen, so that going back to it is told from going on. */
const SEEN = { seen: true }

const isSeen = () => (history.state as typeof SEEN | null)?.seen === true

export function followRoute(): void {
  const follow = () => {
    const { page } = route.value
    route.value = routeOf(location.hash)
    // Another page begins at its top; where somebody goes back, the browser knows how far down they were.
    if (route.value.page !== page && !isSeen()) scrollTo(0, 0)
    history.replaceState(SEEN, '')
  }
  addEventListener('hashchange', follow)
  follow()
}
