import { keysOf, type SetupPlace } from '../bend/setup-place.ts'
import type { SetupMemory } from '../bend/shop-nodes.ts'
import type { PlaceBend } from '../history/history.ts'
import type { StoredSetup } from '../messages/setup.ts'
import { placeOf, unlessNoSuchTube } from './shop.ts'
import type { SpringbackFacts } from './springback-facts.ts'

/** All set-ups of one lot on one die, which differ in nothing that springback knows of. */
export interface LotGroup {
  readonly place: SetupPlace
  readonly setupIds: readonly number[]
  readonly newest: StoredSetup
  /** Null where nothing was bent. */
  readonly memory: SetupMemory | null
}

export interface BentGroup extends LotGroup {
  readonly memory: SetupMemory
}

type Known = Pick<SpringbackFacts, 'history' | 'memory'>

/** The set-ups, newest first, by what springback is learned for; those of no tube are left out. */
export function lotGroups({ history, memory }: Known): LotGroup[] {
  const groups = new Map<string, { place: SetupPlace; newest: StoredSetup; setupIds: number[] }>()
  for (const stored of history.setups()) {
    const place = unlessNoSuchTube(() => placeOf(stored.setup))
    if (place === null) continue
    const key = keysOf(place).setup
    const known = groups.get(key)
    if (known) known.setupIds.push(stored.id)
    else groups.set(key, { place, newest: stored, setupIds: [stored.id] })
  }
  return [...groups].map(([key, group]) => ({ ...group, memory: memory.setups.get(key) ?? null }))
}

const isBent = (group: LotGroup): group is BentGroup => group.memory !== null

export const bentGroups = (known: Known): BentGroup[] => lotGroups(known).filter(isBent)

/** The newest lessons of a group, at most so many, oldest first. */
export function bendsOfGroup(
  { place, setupIds, memory }: BentGroup,
  newest: number,
  { history, simulated }: Pick<SpringbackFacts, 'history' | 'simulated'>,
): PlaceBend[] {
  const { firstBend, lastBend } = memory
  return history.placeBends({ lot: place.lot, setupIds, simulated, firstBend, lastBend }, newest)
}

/** The same material and section on the same die: their springback can be compared. */
export const isSameTube = (a: LotGroup, b: LotGroup): boolean => tubeOf(a.place) === tubeOf(b.place)

const tubeOf = ({ material, die, station, tube }: SetupPlace) =>
  JSON.stringify([material.key, die, station, tube.odMm, tube.wallMm, tube.clrMm])

/** The lot of the same tube on the same die that was bent last before this one was; null where there is none. */
export function lotBefore(group: LotGroup, known: Known): BentGroup | null {
  const { place, memory } = group
  const lastBend = memory?.lastBend ?? Number.POSITIVE_INFINITY
  const before = bentGroups(known).filter(
    (other) =>
      other.place.lot !== place.lot && isSameTube(other, group) && other.memory.lastBend < lastBend,
  )
  return before.sort((a, b) => b.memory.lastBend - a.memory.lastBend)[0] ?? null
}
