import type { ShopMemory } from '../bend/shop-nodes.ts'
import type { History } from '../history/history.ts'
import type { StoredSetup } from '../messages/setup.ts'

/** What is asked about, as it is at the moment. */
export interface SpringbackFacts {
  readonly history: Pick<History, 'setups' | 'placeBends' | 'actsOn' | 'decisions' | 'voided'>
  /** What the shop's bends have taught, of the kind that is bent now. */
  readonly memory: ShopMemory
  readonly simulated: boolean
  readonly inUse: StoredSetup | null
  readonly wantedDeg: number
}
