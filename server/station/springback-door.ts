import type { ShopMemory } from '../bend/shop-nodes.ts'
import type { History } from '../history/history.ts'
import type { Job, StoredSetup } from '../messages/setup.ts'
import type { SpringbackDoor } from '../web/station-door.ts'
import { lotTable } from './springback-lots.ts'
import { springbackView } from './springback-view.ts'

/** What is asked about, as it is at the moment. */
export interface SpringbackFacts {
  readonly history: Pick<History, 'setups' | 'placeBends' | 'actsOn' | 'decisions'>
  /** What the shop's bends have taught, of the kind that is bent now. */
  readonly memory: ShopMemory
  readonly simulated: boolean
  readonly inUse: StoredSetup | null
  readonly wantedDeg: number
}

/** What is asked of the bender. */
interface AtBender {
  setup(): StoredSetup | null
  job(): Job | null
  taught(): Pick<SpringbackFacts, 'memory' | 'simulated'>
}

/** Where no job says what is wanted. */
const USUAL_DEG = 90

/** What the shop's bends say of springback, for whoever wants to see it. */
export function makeSpringbackDoor(
  history: SpringbackFacts['history'],
  bender: () => AtBender,
): SpringbackDoor {
  function now(): SpringbackFacts {
    const at = bender()
    const wantedDeg = at.job()?.wantedDeg ?? USUAL_DEG
    return { history, ...at.taught(), inUse: at.setup(), wantedDeg }
  }
  return {
    view: (setupId) => springbackView(now(), setupId),
    lots: () => lotTable(now()),
  }
}
