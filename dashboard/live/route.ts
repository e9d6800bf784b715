import { signal } from '@preact/signals'
import { type Route, routeOf } from './route-of.ts'
import { makeScrollPlace } from './scroll-place.ts'
import { titleOf } from './title-of.ts'

export const route = signal<Route>({ page: 'bend' })

export function followRoute(): void {
  const moved = makeScrollPlace()
  const follow = () => {
    const { page } = route.value
    route.value = routeOf(location.hash)
    document.title = titleOf(route.value)
    moved(route.value.page !== page)
  }
  addEventListener('hashchange', follow)
  follow()
}
