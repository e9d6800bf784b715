import type { History } from '../history/history.ts'
import type { Setup } from '../messages/setup.ts'
import { Refused, type TeachingDoor } from '../web/station-door.ts'
import { makeSaveQueues, type SaveQueues } from './save-queue.ts'
import { makeShop, type Shop } from './shop.ts'

/** What several benders of one daemon have in common: one order of bends, and what all of them have taught. */
export interface Shared {
  readonly queues: SaveQueues
  readonly shop: Shop
  /** What people decided about bends, for all benders at once. */
  teaching(benders: readonly TeachingDoor[]): TeachingDoor
}

/**
 * A bend at one bender teaches the others at once what they have in common. The memory is read from the history once
 * for all; a bender in mid-bend takes up what is new when that bend is done.
 */
export function makeShared(history: History): Shared {
  const shop = makeShop(history)
  /** Bends in the history when it was read last. */
  let readAt: number | null = null
  function readAnew(): void {
    const bends = history.count()
    if (bends === readAt) return
    shop.readAnew()
    readAt = bends
  }
  return {
    queues: makeSaveQueues(),
    shop: { ...shop, readAnew },
    teaching: (benders) => ({
      isBending: () => benders.some((bender) => bender.isBending()),
      retaught() {
        readAt = null
        for (const bender of benders) bender.retaught()
      },
    }),
  }
}

/** @throws Refused where a set-up is another bender's. */
export function demandOwnName(name: string | undefined, { station }: Setup): void {
  if (name === undefined || station === name) return
  const sentence = `station must be "${name}", as this bender is called here, not "${station}".`
  throw new Refused('bad-input', sentence, 'station')
}
