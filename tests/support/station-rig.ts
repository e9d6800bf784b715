import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { MountSpec } from '../../firmware-protocol/bench/mount.ts'
import type { History } from '../../server/history/history.ts'
import { openHistory } from '../../server/history/open.ts'
import { type BenchLink, makeBenchLink } from '../../server/link/bench-link.ts'
import type { Link } from '../../server/link/link.ts'
import { type Catalogue, SHIPPED } from '../../server/own-blocks/catalogue.ts'
import type { BenchDoor } from '../../server/station/bench-door.ts'
import type { StationParts } from '../../server/station/station-parts.ts'
import { Station } from '../../server/station.ts'
import { makeSimulatedClock } from './simulated-clock.ts'

export interface RigOptions extends MountSpec {
  readonly seed: number
  /** Puts something between bench and station: noise on the wire, say. */
  readonly throughLink?: (bench: BenchLink) => Link
  /** Puts something between station and disk. */
  readonly throughHistory?: (history: History) => History
  readonly dataDir?: string
  readonly catalogue?: Catalogue
  /** The bench is a board on the wire, which says itself that it is simulated. */
  readonly isBoard?: boolean
  /** Where taps write; without it nothing leaves the chain. */
  readonly taps?: StationParts['taps']
}

const door = (bench: BenchLink): BenchDoor => ({
  act: ({ mode, ram }) => bench.act({ mode, ram }),
  state: () => bench.benchState(),
  show: (prompt) => bench.show(prompt),
  useLot: bench.useLot,
})

/** A whole station on the bench, on a simulated clock, with a real history file. */
export function makeRig(options: RigOptions) {
  const {
    throughLink,
    throughHistory,
    dataDir,
    isBoard = false,
    catalogue = SHIPPED,
    taps,
    ...spec
  } = options
  const clock = makeSimulatedClock()
  const folder = dataDir ?? mkdtempSync(join(tmpdir(), 'overbend-rig-'))
  const bench = makeBenchLink({ ...spec, clock })
  const history = openHistory(folder)
  const station = new Station({
    clock,
    link: throughLink?.(bench) ?? bench,
    history: throughHistory?.(history) ?? history,
    bench: isBoard ? null : door(bench),
    software: 'test',
    catalogue,
    ...(taps !== undefined && { taps }),
  })
  return {
    clock,
    bench,
    history,
    station,
    folder,
    async close() {
      await station.stop()
      history.close()
      if (dataDir === undefined) rmSync(folder, { recursive: true })
    },
  }
}
