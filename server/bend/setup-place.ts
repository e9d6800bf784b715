import type { HeldBend } from './bend-series.ts'
import { DomainError } from './errors.ts'
import type { Material } from './materials.ts'
import type { TubeOnDie } from './section.ts'
import { NOISE_PRIOR, rowAt } from './springback.ts'

/** Where a bend was made: everything that decides what it shares with others. */
export interface SetupPlace {
  readonly material: Material
  /** As on the tube. Lots of the same name but another material are different lots. */
  readonly lot: string
  /** The shop's name of the die; its intercept goes with it. */
  readonly die: string
  /** The same die on another bender is another die: machine and pins give way differently. */
  readonly station: string
  readonly tube: TubeOnDie
}

/** A bend as the shop remembers it: one tube, its last go. */
export interface ShopBend {
  /** Of its record. */
  readonly id: number
  readonly place: SetupPlace
  readonly loadedDeg: number
  readonly springbackDeg: number
  /** Standard uncertainty of this springback's measurement, degrees, where it is known to be large. */
  readonly standardDeg?: number
}

interface PlaceKeys {
  readonly material: string
  readonly lot: string
  readonly die: string
  readonly seat: string
  readonly setup: string
}

/** A history names each of its places thousands of times. */
const known = new WeakMap<SetupPlace, PlaceKeys>()

/** Keys of the levels, each with those above it. */
export function keysOf(place: SetupPlace): PlaceKeys {
  const before = known.get(place)
  if (before) return before
  const keys = makeKeys(place)
  known.set(place, keys)
  return keys
}

function makeKeys({ material, lot, die, station, tube }: SetupPlace): PlaceKeys {
  const { odMm, wallMm, clrMm } = tube
  return {
    material: material.key,
    lot: JSON.stringify([material.key, lot]),
    die: JSON.stringify([station, die]),
    seat: JSON.stringify([station, die, material.key]),
    setup: JSON.stringify([material.key, lot, station, die, odMm, wallMm, clrMm]),
  }
}

/**
 * The observation, scaled so that its scatter is that of an ordinary bend: a measurement that is
 * itself uncertain by u weighs σ²/(σ² + u²), with σ the noise of one bend before any was seen.
 *
 * @throws DomainError `LOADED_ANGLE`, `SPRINGBACK`, `STANDARD_UNCERTAINTY`
 */
export function heldFrom(bend: ShopBend, vouched: boolean): HeldBend {
  const { id, loadedDeg, springbackDeg, standardDeg = 0 } = bend
  if (!(loadedDeg > 0 && loadedDeg <= 360)) throw new DomainError('LOADED_ANGLE', { loadedDeg })
  if (!(springbackDeg > 0 && springbackDeg < loadedDeg))
    throw new DomainError('SPRINGBACK', { loadedDeg, springbackDeg })
  if (!(standardDeg >= 0 && standardDeg < Infinity))
    throw new DomainError('STANDARD_UNCERTAINTY', { standardDeg })
  const noise = NOISE_PRIOR.sdDeg ** 2
  const root = Math.sqrt(noise / (noise + standardDeg * standardDeg))
  const [grown, bent] = rowAt(loadedDeg)
  const row = [root * grown, root * bent] as const
  return { id, loadedDeg, springbackDeg, row, y: root * springbackDeg, vouched }
}
