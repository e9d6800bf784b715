import { join } from 'node:path'
import { historyAt } from '../history/at-station.ts'
import type { History } from '../history/history.ts'
import type { Clock } from '../link/link.ts'
import type { Wire, WireChoice } from '../messages/wire.ts'
import type { Catalogue } from '../own-blocks/catalogue.ts'
import type { BenchSensor } from '../station/bench-sensor.ts'
import { leftOpenBend, NO_LINES } from '../station/left-open.ts'
import { makeLink } from '../station/make-link.ts'
import { makeShared, type Shared } from '../station/shared.ts'
import type { StationParts } from '../station/station-parts.ts'
import { makeWireDesk, type WireDesk } from '../station/wire-desk.ts'
import { Station } from '../station.ts'
import { software } from '../version.ts'
import { BadInput } from './command.ts'
import { type Flags, hasOwnWire } from './serve-flags.ts'
import { type StationAsked, stationsFrom } from './stations-file.ts'

/** One bender with its wire, not yet started. */
export interface Bender {
  readonly station: Station
  readonly wire: WireDesk
}

interface Wanted extends Pick<StationParts, 'keeping'> {
  readonly clock: Clock
  readonly catalogue: Catalogue
  readonly speed: number
  readonly history: History
  readonly first: Wire
  readonly bench: { readonly seed: number; readonly sensor: BenchSensor }
  remember(wire: WireChoice): void
  /** The data folder: taps write below it. */
  readonly folder: string
  readonly place?: { readonly key: string; readonly name: string }
  readonly shared?: Shared
}

/** A bender's station and the desk of its wire, which need one another. */
export function makeBender(wanted: Wanted): Bender {
  const { clock, catalogue, speed, history, first, bench, remember, keeping, place, shared } =
    wanted
  // Two benders may name their files alike.
  const folder = join(wanted.folder, 'taps', place?.key ?? '')
  const board = () => station.state().link.device?.board ?? null
  const wire = makeWireDesk({
    ...{ clock, first, remember, speed },
    make: (next) =>
      makeLink(next, { clock, board, benchSeed: bench.seed, benchSensor: bench.sensor }),
    rewire: (swap) => station.rewire(swap),
  })
  const station: Station = new Station({
    ...{ clock, history, software, catalogue },
    link: wire.link,
    get bench() {
      return wire.bench()
    },
    wire: wire.wire,
    taps: { folder, env: process.env },
    ...(keeping && { keeping }),
    ...(place && { place }),
    ...(shared && { shared }),
  })
  return { station, wire }
}

/** The benders that a file asks for; null where no file was given. @throws BadInput */
export function stationsGiven(flags: Flags): StationAsked[] | null {
  if (flags.stations === undefined) return null
  if (hasOwnWire(flags))
    throw new BadInput(
      '--stations says what every bender is wired to: leave out --serial, --tcp, --replay, --bench and what belongs to them.',
    )
  const asked = stationsFrom(flags.stations)
  if (flags.benchSpeed !== 1 && asked.some(({ wire }) => wire.kind !== 'bench'))
    throw new BadInput('--bench-speed is for benches alone: a sensor knows the real time only.')
  return asked
}

interface Around extends Pick<StationParts, 'keeping'> {
  readonly clock: Clock
  readonly catalogue: Catalogue
  readonly history: History
  readonly speed: number
  readonly folder: string
}

/** All benders of a file over one history. */
export function makeBenders(asked: readonly StationAsked[], around: Around) {
  const { history } = around
  const shared = makeShared(history)
  const benders = asked.map(({ key, name, wire, bench }) => {
    const place = { key, name }
    const made = makeBender({
      ...around,
      ...{ bench, shared, place },
      history: historyAt(history, place),
      first: wire,
      // The file says it at the next start.
      remember: () => undefined,
    })
    return { key, name, ...made }
  })
  const teaching = () => [shared.teaching(benders.map(({ station }) => station.teaching))]
  return { benders, teaching }
}

/**
 * A bend that was cut off at a bender which is not served any more is put on record all the same, before the others
 * take up theirs.
 *
 * @throws HistoryError when the disk does not take it; it is then tried at the next start.
 */
export function recordOrphans(history: History, clock: Clock, served: readonly string[]): void {
  for (const key of history.leftOpenAt().filter((open) => !served.includes(open))) {
    const chainRevision = 'unknown'
    const at = { leftOpen: () => history.leftOpen(key), setups: history.setups }
    const left = leftOpenBend({ history: at, software, chainRevision, wallMs: clock.wallMs() })
    if (left === null) history.closeOpenBend(key)
    else history.append(left, NO_LINES, false, key)
  }
}
