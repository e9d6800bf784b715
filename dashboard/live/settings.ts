import { type Signal, signal } from '@preact/signals'
import type { Sensor } from '../../server/messages/sensor.ts'

const PREFIX = 'overbend.'

/** Storage may be switched off or full; a page without it still works and forgets at reload. */
function recall(key: string): unknown {
  try {
    return JSON.parse(localStorage.getItem(PREFIX + key) ?? 'null')
  } catch {
    return null
  }
}

function setting<T>(key: string, fallback: T, fits: (value: unknown) => value is T): Signal<T> {
  const kept = recall(key)
  const value = signal(fits(kept) ? kept : fallback)
  value.subscribe((now) => {
    try {
      localStorage.setItem(PREFIX + key, JSON.stringify(now))
    } catch {
      // Nothing to do: the setting holds until the page is closed.
    }
  })
  return value
}

const oneOf =
  <const T extends readonly unknown[]>(choices: T) =>
  (value: unknown): value is T[number] =>
    choices.includes(value)

const isShare = (value: unknown): value is number =>
  typeof value === 'number' && value >= 0 && value <= 1

const isKey = (value: unknown): value is string | null =>
  value === null || typeof value === 'string'

/** As good as the daemon's own check of it, which comes later: a number of counts and a place. */
const isSensor = (value: unknown): value is Sensor =>
  typeof value === 'object' && value !== null && 'mount' in value && 'countsPerTurn' in value

const AS_BOARD_SAYS: Sensor = { mount: 'die', countsPerTurn: 0, direction: 'forward' }

/** What this screen remembers of itself. It is about the reader, never about the work. */
export const settings = {
  theme: setting('theme', 'auto', oneOf(['auto', 'light', 'dark'])),
  unit: setting('unit', 'mm', oneOf(['mm', 'in'])),
  /** The bender that was looked at last, where there are several. */
  station: setting('station', null, isKey),
  muted: setting('muted', false, oneOf([true, false])),
  volume: setting('volume', 0.7, isShare),
  /** What the first set-up is to have; after that the sensor in force stands in the set-up. */
  sensor: setting('sensor', AS_BOARD_SAYS, isSensor),
  /** The screen was set to stay on by hand, where no browser does it. */
  staysOn: setting('staysOn', false, oneOf([true, false])),
}
