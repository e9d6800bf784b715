import type { Sensor } from '../messages/sensor.ts'
import type { BendDesk } from './bend-desk.ts'
import type { makeDeviceEar } from './device-ear.ts'
import type { ReadoutMoment } from './readout-desk.ts'
import type { makeWireWatch } from './wire-watch.ts'

interface Around {
  readonly desk: BendDesk
  readonly wire: ReturnType<typeof makeWireWatch>
  readonly ear: ReturnType<typeof makeDeviceEar>
  readonly sensor: Sensor
}

/** How the station is now, as far as its readout is concerned. */
export function readoutMoment({ desk, wire, ear, sensor }: Around): ReadoutMoment {
  const device = wire.device()
  return {
    setup: desk.setup(),
    phase: desk.progress().phase,
    isOpen: desk.isOpen(),
    device,
    simulated: ear.state().simulated,
    counts: sensor.countsPerTurn || device?.countsPerTurn || null,
    wantedDeg: desk.job()?.wantedDeg ?? null,
  }
}
