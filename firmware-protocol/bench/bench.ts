import { type Device, type DeviceSpec, makeDevice } from './device.ts'
import { armOf } from './mount.ts'
import { makeWorkshop, type Workshop } from './workshop.ts'

/** The built-in bench: a bender, its operator and a board that speaks the native protocol. */
export type Bench = Device & Pick<Workshop, 'show' | 'order' | 'useLot' | 'view' | 'truth'>

/** Deterministic: the seed, and what is shown and ordered when, decide every line. */
export function makeBench(spec: DeviceSpec): Bench {
  const workshop = makeWorkshop(spec.seed, armOf(spec.mount))
  const device = makeDevice(spec, workshop)
  return { ...workshop, ...device }
}
