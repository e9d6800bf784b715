import type { Signal } from '@preact/signals'
import { createContext } from 'preact'
import { useContext } from 'preact/hooks'
import type { SocketState } from './reconnect.ts'
import type { Store } from './store.ts'

export interface Station extends Store {
  readonly socket: Signal<SocketState>
}

const StationContext = createContext<Station | null>(null)

export const StationProvider = StationContext.Provider

/** The station this page looks at. A widget outside the provider is a mistake of the programmer. */
export function useStation(): Station {
  const station = useContext(StationContext)
  if (!station) throw new Error('useStation() needs a <StationProvider> above it.')
  return station
}
