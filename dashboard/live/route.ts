import { signal } from '@preact/signals'
import { type Route, routeOf } from './route-of.ts'

export const route = signal<Route>({ page: 'bend' })

export function followRoute(): void {
  const follow = () => {
    route.value = routeOf(location.hash)
  }
  addEventListener('hashchange', follow)
  follow()
}
