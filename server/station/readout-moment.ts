import type { Sensor } from '../messages/sensor.ts'
import type { BendDesk } from './bend-desk.ts'
import type { BoardWatch } from './board-watch.ts'
import type { makeDeviceEar } from './device-ear.ts'
import type { ReadoutMoment } from './readout-desk.ts'
import type { makeWireWatch } from './wire-watch.ts'

interface Around {
  readonly desk: BendDesk
  readonly wire: ReturnType<typeof makeWireWatch>
  readonly ear: ReturnType<typeof makeDeviceEar>
  readonly board: BoardWatch
  readonly sensor: Sensor
}

/** How the station is now, as far as its readout is concerned. */
export function readoutMoment({ desk, wire, ear, board, sensor }: Around): ReadoutMoment {
  const device = wire.device()
  return {
    setup: desk.setup(),
    phase: desk.progress().phase,
    isOpen: desk.isOpen(),
    device,
    simulated: ear.state().simulated,
    counts: sensor.countsPerTurn || device?.countsPerTurn || null,
    gravity: board.gravity(),
    wantedDeg: desk.job()?.wantedDeg ?? null,
  }
}
